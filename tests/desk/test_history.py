"""How an entry stands after corrections and undos, and what to undo so that it holds again."""

from tankward.desk.history import standing_of
from tankward.room.replay import replay
from tests.helpers.rooms import entries_from

ROOM = """
1 March 08:00  tank    T7  volume=30L
2 March 08:00  dose    t7  praziquantel=108mg id=first
"""
UNDO = "2 March 08:05  undone  t7  entry=first id=undo"
AGAIN = "2 March 08:06  undone  t7  entry=undo id=again"
SECOND = "2 March 08:00  dose  t7  praziquantel=54mg id=second"
CORRECTED = "2 March 09:00  corrected  t7  entry=first by=second id=fix"


def stands(*lines, of="first"):
    entries = entries_from("\n".join([ROOM, *lines]))
    return standing_of(entries, next(e for e in entries if e.id == of)), entries


def doses(entries):
    return [act.actives["praziquantel"] for _, act in replay(entries).acts("t7")]


def told(standing):
    return [event.what for event in standing.events]


def test_an_entry_by_itself_holds():
    found, _ = stands()
    assert (found.holds, found.back, told(found)) == (True, "", ["written"])


def test_taken_back_and_the_way_back():
    found, entries = stands(UNDO)
    assert (found.holds, found.back, told(found)) == (False, "undo", ["written", "taken back"])
    assert doses(entries) == []


def test_an_undo_of_an_undo_puts_back():
    found, entries = stands(UNDO, AGAIN)
    assert (found.holds, found.back) == (True, "")
    assert told(found) == ["written", "taken back", "put back"]
    assert doses(entries) == [108]


def test_a_third_undo_takes_back_again():
    found, _ = stands(UNDO, AGAIN, "2 March 08:07  undone  t7  entry=again id=third")
    assert told(found)[-1] == "taken back"
    assert (found.holds, found.back) == (False, "undo")


def test_a_correction_keeps_both_versions():
    old, entries = stands(SECOND, CORRECTED)
    new, _ = stands(SECOND, CORRECTED, of="second")
    assert (old.holds, old.replaced_by.id, old.back) == (False, "second", "fix")
    assert (new.holds, new.correction.id) == (True, "fix")
    assert told(old) == told(new) == ["written", "corrected"]
    assert [e.entry.id for e in new.events] == ["first", "second"]
    assert doses(entries) == [54]


def test_a_correction_taken_back():
    lines = (SECOND, CORRECTED, "2 March 10:00  undone  t7  entry=fix id=over")
    old, entries = stands(*lines)
    new, _ = stands(*lines, of="second")
    assert (old.holds, new.holds, new.back) == (True, False, "over")
    assert told(old)[-1] == "correction taken back"
    assert doses(entries) == [108]


def test_a_correction_of_a_correction_shows_the_last():
    third = (
        "2 March 08:00  dose  t7  praziquantel=81mg id=third",
        "2 March 11:00  corrected  t7  entry=second by=third id=fix2",
    )
    old, entries = stands(SECOND, CORRECTED, *third)
    assert old.replaced_by.id == "third"
    assert told(old) == ["written", "corrected", "corrected"]
    assert doses(entries) == [81]


def test_an_undo_stands_for_what_it_is_about():
    found, _ = stands(UNDO, AGAIN, of="again")
    assert found.entry.id == "first"
