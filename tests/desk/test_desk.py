"""The desk: a folder's room, in step with what other programs write."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankward.desk import folder as places
from tankward.desk.desk import Desk, digest_of
from tankward.desk.find import find_entry, find_stock, find_supply, find_tank
from tankward.desk.folder import data_folder, local_zone, new_id
from tankward.quantities.faults import BadInput
from tankward.room.entries.corrections import Undone
from tankward.room.replay import Room, replay
from tankward.store.faults import StoreFault
from tests.helpers.logbooks import logbooks, shown_in
from tests.helpers.rooms import entries_from, room_from

ROOM = """
    1 March 08:00  tank    Nursery  volume=54L
    1 March 08:01  tank    "T 7"  volume=30L
    1 March 08:05  stock   Nursery  kind=guppy number=20
    1 March 08:06  stock   t-7  kind=guppy name="old ladies" number=3
    1 March 08:10  supply  "two-part"  unit=sachet metronidazole=200mg
    2 March 08:10  note    Nursery  text="new sponge"
"""


@pytest.fixture
def desk(tmp_path):
    with Desk.open(tmp_path / "room") as made:
        yield made


def test_an_empty_folder_is_an_empty_room(desk):
    assert desk.room() == Room()
    assert desk.entries() == []
    assert not desk.folder.exists()


def test_a_room_is_kept_and_comes_back(desk):
    entries = entries_from(ROOM)
    assert desk.append(*entries) == [e.id for e in entries]
    assert desk.append(*entries) == []
    with Desk.open(desk.folder) as again:
        assert again.room() == desk.room() == replay(entries)
        assert again.entries() == entries


def test_a_room_is_made_once_until_something_is_written(desk):
    desk.append(*entries_from(ROOM))
    assert desk.room() is desk.room()
    before, digest = desk.room(), desk.digest
    desk.append(*entries_from("3 March 08:00 note Nursery text=more"))
    assert desk.room() is not before
    assert desk.digest != digest


def test_what_another_program_wrote_is_taken_in(desk):
    desk.append(*entries_from(ROOM))
    assert "nursery" in desk.room().tanks
    with Desk.open(desk.folder) as other:
        other.append(*entries_from("3 March 08:00 tank Other volume=10L"))
    assert "other" in desk.room().tanks


@given(st.data())
@settings(max_examples=15)
def test_the_kept_room_is_the_one_made_anew(tmp_path_factory, data):
    """Whatever order entries come in, by one program or another, the cache tells no other story."""
    logbook = data.draw(logbooks())
    folder = tmp_path_factory.mktemp("room")
    with Desk.open(folder) as one, Desk.open(folder) as two:
        for entry in data.draw(st.permutations(logbook)):
            data.draw(st.sampled_from([one, two])).append(entry, pictures=shown_in([entry]))
            one.room()
        assert one.room() == two.room() == replay(logbook)
        assert one.digest == two.digest == digest_of(e.id for e in logbook)


def test_entries_hold_also_what_was_taken_back(desk):
    entries = entries_from(ROOM)
    undo = Undone(id=new_id(), at=datetime(2026, 3, 9, tzinfo=UTC), entry=entries[-1].id)
    desk.append(*entries, undo)
    assert entries[-1] in desk.entries()
    assert entries[-1] not in desk.room().log


def test_making_a_folder_is_tried_at_once_when_asked(tmp_path):
    with Desk.open(tmp_path / "a" / "b", make=True) as desk:
        assert desk.folder.is_dir()
        assert desk.read_only == ""
    (tmp_path / "file").write_text("x")
    with pytest.raises(StoreFault):
        Desk.open(tmp_path / "file", make=True)


def test_the_folder_is_the_one_named_then_the_variable_then_the_usual(monkeypatch, tmp_path):
    monkeypatch.setenv("TANKWARD_ROOM", str(tmp_path / "from-variable"))
    assert data_folder(tmp_path / "named") == tmp_path / "named"
    assert data_folder() == tmp_path / "from-variable"
    monkeypatch.delenv("TANKWARD_ROOM")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setenv("HOME", str(tmp_path))
    assert data_folder().name == "tankward"


def test_ids_grow(desk):
    ids = [new_id() for _ in range(100)]
    assert ids == sorted(set(ids))
    assert ids[0][14] == "7"


@pytest.mark.parametrize(
    ("variable", "link", "expected"),
    [
        ("Europe/Berlin", "", "Europe/Berlin"),
        (":America/New_York", "", "America/New_York"),
        ("", "zoneinfo/Asia/Tokyo", "Asia/Tokyo"),
        ("Mars/Olympus", "", "UTC"),
        ("", "somewhere", "UTC"),
    ],
)
def test_the_zone_of_this_machine(monkeypatch, tmp_path, variable, link, expected):
    target = tmp_path / (link or "none")
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_text("")
    (tmp_path / "localtime").symlink_to(target)
    monkeypatch.setattr(places, "LINK", Path(tmp_path / "localtime"))
    monkeypatch.setenv("TZ", variable)
    assert local_zone() == expected


def test_things_are_found_by_name_or_id_in_any_case():
    room = room_from(ROOM)
    assert find_tank(room, "nursery").id == find_tank(room, " NURSERY ").id == "nursery"
    assert find_tank(room, "T 7").id == find_tank(room, "t-7").id == find_tank(room, "t 7").id == "t-7"
    assert find_stock(room, "nursery", "Guppy").id == "nursery-guppy"
    assert find_stock(room, "t-7", "old ladies").id == find_stock(room, "t-7", "guppy").id
    assert find_supply(room, "Two-Part").id == "two-part"


def test_what_is_not_there_is_answered_with_what_is():
    room = room_from(ROOM)
    with pytest.raises(BadInput, match="There are Nursery, T 7"):
        find_tank(room, "Attic")
    with pytest.raises(BadInput, match="There is none yet"):
        find_tank(Room(), "Attic")
    with pytest.raises(BadInput, match="could be several"):
        find_stock(room, "", "guppy")


def test_an_entry_is_found_by_part_of_its_id_when_that_is_enough():
    entries = entries_from(ROOM)
    assert find_entry(entries, entries[0].id) == entries[0]
    assert find_entry(entries, entries[0].id[-12:]) == entries[0]
    with pytest.raises(BadInput, match="could be several"):
        find_entry(entries, entries[0].id[:5])
    with pytest.raises(BadInput, match="is no entry"):
        find_entry(entries, "zzzz")
