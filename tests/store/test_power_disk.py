"""A disk that is full, slow, locked or closed to us: one clear sentence, and nothing by half."""

import sqlite3
from contextlib import closing

import pytest

from tankward.desk import carrying, data
from tankward.desk.desk import Desk
from tankward.store import database
from tankward.store.faults import StoreFault
from tests.helpers import full_disk
from tests.helpers.nobody import as_nobody, open_to_all
from tests.store.test_backup import NOW, note

SAYS = {
    "a disk of its own": "room: the disk is full. Nothing was written; make room and try again.",
    "small files": "room: the disk did not do it. Nothing was written; is it full or failing?",
}
PHOTO_SAYS = {**SAYS, "small files": "room: the file is too large for this disk. Nothing was written."}


@pytest.mark.parametrize("mounted", [True, False])
def test_a_full_disk(tmp_path, mounted):
    told = full_disk.run(tmp_path / "disk", mounted=mounted)
    print(told)
    assert told["kept"] > 3
    assert (told["lost"], told["parts"], told["faults"]) == (0, 0, [])
    assert told["sentence"].endswith(SAYS[told["way"]])
    assert told["photo"].endswith(PHOTO_SAYS[told["way"]])
    assert told["pictures"] == 0
    assert told["after"] == "", "once there is room again, the same program goes on"
    if told["way"] == "a disk of its own":
        assert told["copy"].endswith(
            "copies: the disk is full. Nothing was written; make room and try again."
        )


@pytest.fixture
def desk(tmp_path):
    with Desk.open(tmp_path / "room") as made:
        made.append(note("one"))
        yield made


def test_a_program_that_holds_the_folder(desk, monkeypatch):
    """Another one writes for longer than we wait."""
    monkeypatch.setattr(database, "WAIT_MS", 50)
    with Desk.open(desk.folder) as waiting, closing(sqlite3.connect(desk.store.file)) as other:
        other.execute("begin immediate")
        assert len(waiting.entries()) == 1
        with pytest.raises(StoreFault, match="another program is writing there"):
            waiting.append(note("two"))
        other.rollback()
        assert waiting.append(note("two"))


def test_a_folder_that_may_only_be_read_gives_its_copies_and_its_export(desk, tmp_path_factory):
    shared = open_to_all(tmp_path_factory.mktemp("shared"))
    data.back_up(desk, NOW, shared / database.FILE)
    (shared / database.FILE).chmod(0o444)
    shared.chmod(0o555)
    try:
        assert as_nobody(lambda: only_reads(shared)) == "all was read, nothing was written"
    finally:
        shared.chmod(0o755)


def only_reads(folder):
    with Desk.open(folder) as desk:
        assert len(desk.entries()) == 1
        assert data.keep_daily(desk, NOW, "UTC") == ""
        assert data.check(desk, NOW).faults == ()
        assert "note" in carrying.as_text(desk)
        for write in (
            lambda: desk.append(note()),
            lambda: data.put_back(desk, folder / database.FILE, NOW),
        ):
            with pytest.raises(StoreFault, match="can only be read; nothing was written"):
                write()
        with pytest.raises(StoreFault, match="can't be written by you"):
            data.back_up(desk, NOW)
    return "all was read, nothing was written"
