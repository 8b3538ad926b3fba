"""The kept copy saves time and can do no harm."""

import shutil

import platformdirs
import pytest

from tankward.knowledge import cache, loader
from tankward.knowledge.loader import FOLDER, load


@pytest.fixture
def kept(tmp_path, monkeypatch):
    """A cache folder and a copy of the facts of this test alone."""
    monkeypatch.setattr(platformdirs, "user_cache_dir", lambda *a, **k: str(tmp_path / "cache"))
    shutil.copytree(FOLDER, tmp_path / "facts")
    return tmp_path


def test_the_second_load_reads_no_file_and_says_the_same(kept, monkeypatch):
    first = load(kept / "facts")
    monkeypatch.setattr(loader, "_read", lambda folder: pytest.fail("read again"))
    assert load(kept / "facts") == first


def test_a_changed_file_is_read_again(kept):
    first = load(kept / "facts")
    file = kept / "facts/animals/guppy.toml"
    file.write_text(file.read_text().replace('common = "guppy"', 'common = "gupp"'))
    second = load(kept / "facts")
    assert second.animals["guppy"].common == "gupp"
    assert second.digest != first.digest


def test_a_spoilt_copy_is_read_again(kept):
    first = load(kept / "facts")
    (copy,) = (kept / "cache/facts").glob("*.facts")
    copy.write_bytes(b"\xc1 spoilt")
    assert load(kept / "facts") == first
    copy.write_bytes(b"")
    assert load(kept / "facts") == first


def test_a_folder_that_can_not_be_written_is_no_hindrance(tmp_path, monkeypatch):
    (tmp_path / "cache").write_text("a file where a folder should be")
    monkeypatch.setattr(platformdirs, "user_cache_dir", lambda *a, **k: str(tmp_path / "cache"))
    cache.put("stamp", load())
    assert cache.get("stamp") is None


def test_only_a_few_copies_are_kept(kept):
    facts = load(kept / "facts")
    for stamp in "abcdefg":
        cache.put(stamp, facts)
    assert len(list((kept / "cache/facts").glob("*.facts"))) == cache.KEPT
