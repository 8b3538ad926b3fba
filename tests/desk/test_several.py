"""Names in a row, tanks that are alike, and what was last written down."""

from datetime import UTC, datetime

import pytest

from tankward.desk.border import Border
from tankward.desk.several import alike, last_time, new_name, next_name
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.replay import replay
from tests.helpers.rooms import room_from

NOW = datetime(2026, 3, 9, 16, tzinfo=UTC)
ROOM = """
1 March 08:00  tank    T1  length=60cm width=30cm fill=28cm filter=sponge temp=25C shelf="row A" place=1
1 March 08:01  tank    T2  volume=30L place=2
1 March 08:02  tank    T3  volume=20L place=3
2 March 08:00  change  t1  share=50% temp=25C
2 March 08:00  change  t2  share=50% temp=25C
2 March 08:00  change  t3  share=20%
3 March 08:00  note    t1  text=later
"""


def border(text=ROOM):
    return Border(room=room_from(text), facts=load(), now=NOW)


@pytest.mark.parametrize(
    ("like", "taken", "found"),
    [
        ("", [], "T1"),
        ("T1", ["T1", "t3"], "T4"),
        ("Nursery", ["Nursery"], "Nursery 2"),
        ("Nursery", ["Nursery", "Nursery 2"], "Nursery 3"),
        ("row 9", ["row 9"], "row 10"),
        ("T1", ["Tx", "T1b"], "T1"),
    ],
)
def test_the_next_free_name(like, taken, found):
    assert next_name(like, taken) == found


def test_a_new_tank_goes_on_with_the_row():
    assert new_name(border().room) == "T4"
    assert new_name(border("1 March 08:00 tank Nursery volume=3L").room) == "T1"


def test_ten_alike():
    made = alike(border(), "T1", 10)
    room = replay([*border().room.log, *made.entries])
    assert [t.name for t in room.tanks.values()][3:] == [f"T{n}" for n in range(4, 14)]
    assert {(t.length_cm, t.filter, t.temp_c.value, t.shelf) for t in list(room.tanks.values())[3:]} == {
        (60, "sponge", 25, "row A")
    }
    assert [t.place for t in room.tanks.values()] == list(range(1, 14))
    assert room.stock == {}


@pytest.mark.parametrize(("like", "copies"), [("T1", 0), ("T1", 101), ("T9", 1)])
def test_what_cannot_be_alike(like, copies):
    with pytest.raises(BadInput):
        alike(border(), like, copies)


def test_the_same_as_last_time_is_what_was_the_same():
    found = last_time(border().room, "change")
    assert (found.tanks, found.texts["share"]) == (("t3",), "0.2")
    both = last_time(border(ROOM.replace("2 March 08:00  change  t3  share=20%\n", "")).room, "change")
    assert both.tanks == ("t1", "t2")
    assert last_time(border().room, "siphon") is None
