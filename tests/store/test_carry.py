"""Everything out and in again: identical; and nothing in from a file that is not whole or not ours."""

import hashlib
import io
import json
import shutil
import zipfile
import zlib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankward.desk import carrying
from tankward.desk.desk import Desk
from tankward.desk.folder import new_id
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.codec import encode, kinds
from tankward.room.entries.notes import Note
from tankward.room.entries.photos import PhotoAdded
from tankward.room.photos import pictures_of
from tankward.room.replay import replay
from tankward.room.text import write_logbook
from tankward.store import carry_form
from tankward.store.carry_form import ENTRIES, MANIFEST, SCHEMA
from tankward.store.photos import faults_of, pictures_in
from tests.helpers.logbooks import logbooks, shown_in
from tests.store.test_backup import NOW, note

ENTRY = Note(id=new_id(), at=NOW, text="kept")


def packed(desk):
    out = io.BytesIO()
    carrying.export(desk, out, load(), "0.1.0", NOW)
    return out.getvalue()


def bring(desk, content, name="x.zip"):
    return carrying.bring_in(desk, io.BytesIO(content), name, "UTC", load())


def parts(content):
    with zipfile.ZipFile(io.BytesIO(content)) as opened:
        return {n: opened.read(n) for n in opened.namelist()}


def zipped(members, packing=zipfile.ZIP_DEFLATED):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", packing) as opened:
        for name, content in members.items() if isinstance(members, dict) else members:
            opened.writestr(name, content)
    return out.getvalue()


@pytest.fixture(scope="module")
def rooms(tmp_path_factory):
    """Makes rooms that hold these entries; the empty one is made once, which is most of the work."""
    empty = tmp_path_factory.mktemp("empty")
    Desk.open(empty, make=True).close()

    def made(logbook=()):
        desk = Desk.open(shutil.copytree(empty, tmp_path_factory.mktemp("room"), dirs_exist_ok=True))
        desk.append(*logbook, pictures=shown_in(logbook))
        return desk

    return made


@pytest.fixture
def whole(tmp_path):
    """A whole export of one entry."""
    with Desk.open(tmp_path / "from") as desk:
        desk.append(ENTRY)
        return packed(desk)


@pytest.fixture
def here(tmp_path):
    """A room with an entry of its own."""
    with Desk.open(tmp_path / "here") as desk:
        desk.append(note("mine"))
        yield desk


# Round trips


@given(logbooks())
@settings(max_examples=40)
def test_out_and_in_is_identical(rooms, logbook):
    with rooms(logbook) as first, rooms() as second:
        content = packed(first)
        done = bring(second, content)
        assert (done.new, done.known) == (len(logbook), 0)
        assert packed(second) == content
        assert second.entries() == first.entries()
        assert second.room() == first.room() == replay(logbook)
        assert pictures_in(second.store.pictures) == pictures_of(logbook)
        assert faults_of(second.store.pictures, pictures_of(logbook)) == {}
        assert bring(second, content).new == 0


@given(logbooks(), st.data())
@settings(max_examples=20)
def test_two_rooms_become_one_and_each_entry_is_kept_once(rooms, logbook, chance):
    mine = chance.draw(st.lists(st.sampled_from(logbook), unique_by=lambda e: e.id))
    with rooms(logbook) as first, rooms(mine) as second:
        done = bring(second, packed(first))
        assert (done.new, done.known) == (len(logbook) - len(mine), len(mine))
        assert second.room() == replay(logbook)
        second.store.sweep()
        assert pictures_in(second.store.pictures) == pictures_of(logbook)


@given(logbooks())
@settings(max_examples=20)
def test_the_plain_text_reads_back_whole(rooms, logbook):
    logbook = [e for e in logbook if not isinstance(e, PhotoAdded)]
    with rooms(logbook) as first, rooms() as second:
        if logbook:
            bring(second, carrying.as_text(first).encode(), "x.txt")
        assert second.entries() == first.entries()
        assert packed(second) == packed(first)


def test_entries_are_sorted_and_the_manifest_names_the_versions(tmp_path):
    late, early = note("late", NOW.replace(year=2027)), note("early", NOW.replace(year=2025))
    with Desk.open(tmp_path / "room") as desk:
        desk.append(late, early)
        found = parts(packed(desk))
    assert found[ENTRIES].decode().splitlines() == [encode(early), encode(late)]
    manifest = json.loads(found[MANIFEST])
    assert manifest["program"] == "0.1.0"
    assert (manifest["facts"], manifest["facts_digest"]) == (load().version, load().digest)
    assert manifest["entries"] == 2


def test_an_empty_room_goes_out_and_in(tmp_path):
    with Desk.open(tmp_path / "a") as desk, Desk.open(tmp_path / "b") as other:
        assert bring(other, packed(desk)).new == 0


# What is refused, and leaves everything as it was


def refused(desk, content, name="x.zip"):
    before = desk.entries()
    with pytest.raises(BadInput) as told:
        bring(desk, content, name)
    assert desk.entries() == before
    assert str(told.value).count("\n") == 0
    return str(told.value)


@pytest.mark.parametrize("share", [0.02, 0.3, 0.6, 0.9, 0.999])
def test_half_a_file(here, whole, share):
    assert "not a whole export" in refused(here, whole[: int(len(whole) * share)])


@given(st.data())
@settings(max_examples=60)
def test_a_changed_byte_is_found_or_changes_nothing(rooms, chance):
    with rooms([ENTRY]) as first, rooms() as second:
        content = bytearray(packed(first))
        at = chance.draw(st.integers(0, len(content) - 1))
        content[at] ^= 1 << chance.draw(st.integers(0, 7))
        try:
            bring(second, bytes(content))
        except BadInput:
            assert second.entries() == []
        else:
            assert second.entries() == [ENTRY]


PATHS = [
    "../logbook.db",
    "/etc/cron.d/x",
    "..\\x",
    "copies/day-2026-05-14.db",
    "entries.jsonl/",
    "ENTRIES.JSONL",
]


@pytest.mark.parametrize("name", PATHS)
def test_a_name_that_does_not_belong(here, whole, name, tmp_path):
    before = sorted(tmp_path.rglob("*"))
    assert "does not belong" in refused(here, zipped({**parts(whole), name: b"x"}))
    assert sorted(tmp_path.rglob("*")) == before


def test_a_name_twice(here, whole):
    with pytest.warns(UserWarning, match="Duplicate name"):
        twice = zipped([*parts(whole).items(), (ENTRIES, b"")])
    assert "each once" in refused(here, twice)


@pytest.mark.parametrize("name", [MANIFEST, SCHEMA, ENTRIES])
def test_a_part_that_is_missing(here, whole, name):
    found = parts(whole)
    del found[name]
    assert "each once" in refused(here, zipped(found))


def test_a_page_of_zeros_is_not_unpacked(here, whole):
    bomb = zipped({**parts(whole), ENTRIES: b"0" * (80 * 1024 * 1024)})
    assert len(bomb) < 1_000_000
    assert "more than any logbook holds" in refused(here, bomb)


def test_a_file_that_says_it_is_large(here, whole, monkeypatch):
    monkeypatch.setitem(carry_form.MOST, ENTRIES, 10)
    assert "more than any logbook holds" in refused(here, whole)


def test_a_file_that_lies_about_its_size(here, whole):
    """The sizes in the directory say little; what is unpacked is still cut off there."""
    body = b"0" * (3 * 1024 * 1024)
    content = bytearray(zipped({**parts(whole), ENTRIES: body}))
    true, small = len(body).to_bytes(4, "little"), (100).to_bytes(4, "little")
    assert content.count(true) == 2
    assert "not a whole export" in refused(here, bytes(content.replace(true, small)))


def test_packed_in_another_way(here, whole):
    assert "packed in a way" in refused(here, zipped(parts(whole), zipfile.ZIP_LZMA))


def test_locked_with_a_password(here, whole):
    content = bytearray(whole)
    at = -1
    while (at := content.find(b"PK\x01\x02", at + 1)) >= 0:
        content[at + 8] |= 1
    assert "packed in a way" in refused(here, bytes(content))


def with_manifest(whole, **changed):
    found = parts(whole)
    return zipped({**found, MANIFEST: json.dumps({**json.loads(found[MANIFEST]), **changed})})


MANIFESTS = {
    "is not the export of a logbook": {"what": "a recipe"},
    "newer Tankward": {"form": 3},
    "does not hold what its manifest says": {"entries": 2},
    "missing or changed": {"sha256": "0" * 64},
    "that is none": {"made": "someday"},
}


@pytest.mark.parametrize("says", MANIFESTS)
def test_a_manifest_that_is_wrong(here, whole, says):
    assert says in refused(here, with_manifest(whole, **MANIFESTS[says]))


def test_a_newer_form_is_told_even_if_its_manifest_has_changed(here, whole):
    found = {**parts(whole), MANIFEST: json.dumps({"what": carry_form.WHAT, "form": 9, "sum": []})}
    assert "newer Tankward" in refused(here, zipped(found))


@pytest.mark.parametrize(
    "text", ["", "[]", "{", "\ud800".encode("utf-16", "surrogatepass").decode("latin-1")]
)
def test_a_manifest_that_is_no_record(here, whole, text):
    assert "that is none" in refused(here, zipped({**parts(whole), MANIFEST: text}))


def with_lines(whole, *lines, end="\n"):
    """An export whose manifest agrees with lines that are wrong."""
    body = "".join(f"{line}{end}" for line in lines).encode()
    found = {**parts(whole), ENTRIES: body}
    return with_manifest(zipped(found), entries=len(lines), sha256=hashlib.sha256(body).hexdigest())


GOOD = encode(ENTRY)
LINES = {
    "no record": ("{", "line 2"),
    "a kind that nobody knows": ('{"kind": "unheard"}', 'kind "unheard" is not known'),
    "a newer version of a kind": (GOOD.replace('"version":1', '"version":99'), "newer program"),
    "a field of the wrong sort": (GOOD.replace('"kept"', "7"), "line 2"),
    "an id that is none": (GOOD.replace(ENTRY.id, "../../x"), "no id in its one spelling"),
    "an id in another spelling": (GOOD.replace(ENTRY.id, ENTRY.id.upper()), "no id in its one spelling"),
    "an instant without a zone": (GOOD.replace("18:00:00Z", "18:00:00"), "without a zone"),
    "brackets without end": ("[" * 100_000, "line 2"),
    "an empty line": ("", "line 2"),
}


@pytest.mark.parametrize("what", LINES)
def test_a_line_that_is_wrong_takes_the_whole_file_with_it(here, whole, what):
    line, says = LINES[what]
    assert line != GOOD
    other = encode(note("good"))
    assert says in refused(here, with_lines(whole, other, line))


def test_one_id_in_two_lines(here, whole):
    assert "the id of another line" in refused(here, with_lines(whole, GOOD, GOOD))


def test_a_last_line_without_an_end(here, whole):
    assert "has no end" in refused(here, with_lines(whole, GOOD, end=""))


def test_a_line_longer_than_any_entry(here, whole, monkeypatch):
    monkeypatch.setattr("tankward.store.carry_in.LONGEST", 50)
    assert "can't be used" in refused(here, whole)


def test_an_entry_that_is_told_otherwise_here(here, whole):
    here.append(Note(id=ENTRY.id, at=NOW, text="otherwise"))
    assert "otherwise than the logbook here" in refused(here, whole)


NEITHER = {
    "a picture": b"\x89PNG\r\n\x1a\n" + bytes(200),
    "nothing": b"",
    "bytes": bytes(range(256)),
    "a packed file of another sort": zlib.compress(b"x" * 100),
    "zeros": bytes(1000),
    "remarks alone": b"# nothing here\n",
}


@pytest.mark.parametrize("what", NEITHER)
def test_a_file_of_another_sort(here, what):
    assert "neither an export" in refused(here, NEITHER[what], "x")


def test_a_text_with_a_line_that_is_wrong(here):
    text = write_logbook([ENTRY]) + "yesterday tank C\n"
    assert "line 3" in refused(here, text.encode(), "x.txt")


# The published schema


def test_the_schema_in_the_docs_is_the_one_in_the_export(whole):
    published = Path(__file__).parents[2] / "docs" / "export.schema.json"
    assert published.read_bytes() == parts(whole)[SCHEMA], "run scripts/export_schema.py"


def test_every_kind_of_entry_is_in_the_schema():
    named = {
        json.dumps(part["properties"]["kind"])
        for part in carry_form.schema()["$defs"].values()
        if "kind" in part.get("properties", {})
    }
    assert {json.dumps({"enum": [word]}) for word in kinds()} <= named
