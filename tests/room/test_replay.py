"""Replay: the same logbook, however it arrives, is the same room."""

from datetime import UTC, datetime

from hypothesis import given
from hypothesis import strategies as st

from tankward.quantities.parse import Estimate
from tankward.room.acts import Change, Dose
from tankward.room.entries.corrections import Corrected, Undone
from tankward.room.replay import replay, standing
from tests.helpers.logbooks import logbooks
from tests.helpers.rooms import entries_from, room_from

SET_UP = """
    1 March 08:00  tank   Nursery  volume=54L temp=26C
    1 March 08:01  tank   Rack     volume=30L
    1 March 08:05  stock  Nursery  kind=guppy number=20
"""
AT = datetime(2026, 3, 9, tzinfo=UTC)


def number(room, stock="nursery-guppy"):
    return room.stock[stock].number.value


@given(logbooks(), st.data())
def test_two_phones_may_send_twice_in_any_order(logbook, data):
    again = data.draw(st.lists(st.sampled_from(logbook), max_size=4))
    received = data.draw(st.permutations(logbook + again))
    assert replay(received) == replay(logbook)


@given(logbooks(), st.data())
def test_an_undo_of_an_undo_changes_nothing(logbook, data):
    target = data.draw(st.sampled_from(logbook))
    undo = Undone(id="00000000-0000-4000-8000-000000000001", at=AT, entry=target.id)
    redo = Undone(id="00000000-0000-4000-8000-000000000002", at=AT, entry=undo.id)
    log = standing([*logbook, undo, redo])
    assert [e for e in log if e.id != redo.id] == standing(logbook)


def test_an_undo_holds_whatever_the_clocks_said():
    """Two phones: the one that undid the undo runs an hour behind."""
    first, *_ = entries_from("1 March 08:00  tank  A  volume=10L id=a")
    undo = Undone(id="b", at=datetime(2026, 3, 2, 9, tzinfo=UTC), entry="a")
    redo = Undone(id="c", at=datetime(2026, 3, 2, 8, tzinfo=UTC), entry="b")
    assert "a" not in replay([first, undo]).tanks
    assert "a" in replay([first, undo, redo]).tanks


def test_undoings_in_a_ring_take_nothing_else_with_them():
    first, *_ = entries_from("1 March 08:00  tank  A  volume=10L id=a")
    ring = [Undone(id="b", at=AT, entry="c"), Undone(id="c", at=AT, entry="b")]
    assert "a" in replay([first, *ring]).tanks


def test_a_correction_replaces_and_undone_brings_back():
    log = f"""{SET_UP}
    2 March 08:00  counted  Nursery  stock=nursery-guppy number=10 id=old
    2 March 08:00  counted  Nursery  stock=nursery-guppy number=18 id=new
    3 March 08:00  corrected Nursery entry=old by=new id=fix
    """
    assert number(room_from(log)) == 18
    assert [e.id for e in room_from(log).log if e.tank == "nursery"][-2:] == ["new", "fix"]
    assert number(room_from(log + "4 March 08:00  undone Nursery entry=fix\n")) == 10


def test_a_correction_waits_for_what_it_brings():
    entries = entries_from(f"{SET_UP}\n2 March 08:00 counted Nursery stock=nursery-guppy number=10 id=old")
    fix = Corrected(id="fix", at=AT, entry="old", by="not-here-yet")
    assert number(replay([*entries, fix])) == 10


def test_a_count_says_how_many_and_keeps_about():
    room = room_from(
        f"{SET_UP}\n2 March 08:00  counted Nursery stock=nursery-guppy number='about 40'".replace("'", '"')
    )
    assert room.stock["nursery-guppy"].number == Estimate(40, 34, 46)


def test_the_dead_are_counted_once():
    """Two found dead, then three bodies taken out: three are gone, not five."""
    log = f"""{SET_UP}
    2 March 08:00  death   Nursery  stock=nursery-guppy number=2
    2 March 09:00  remove  Nursery  stock=nursery-guppy number=3
    """
    room = room_from(log)
    assert number(room) == 17
    assert room.bodies["nursery-guppy"] == 0


def test_a_body_left_in_is_remembered():
    room = room_from(f"{SET_UP}\n2 March 08:00 death Nursery stock=nursery-guppy taken-out=no")
    assert room.bodies == {"nursery-guppy": 1}
    gone = room_from(f"{SET_UP}\n2 March 08:00 death Nursery stock=nursery-guppy taken-out=yes")
    assert gone.bodies == {}


def test_sold_ones_leave_the_living():
    room = room_from(f"{SET_UP}\n2 March 08:00 remove Nursery stock=nursery-guppy number=5 why=sold")
    assert number(room) == 15


def test_some_move_and_all_move():
    some = room_from(f"{SET_UP}\n2 March 08:00 move Nursery stock=nursery-guppy to=rack number=6")
    assert [(s.tank, s.number.value) for s in some.stock.values()] == [("nursery", 14), ("rack", 6)]
    every = room_from(f"{SET_UP}\n2 March 08:00 move Nursery stock=nursery-guppy to=rack")
    assert [s.id for s in every.stock_of("rack")] == ["nursery-guppy"]
    assert every.stock_of("nursery") == []


def test_an_old_course_stopped_late_leaves_the_new_one():
    log = f"""{SET_UP}
    2 March 08:00  course          Nursery  name=first id=one
    5 March 08:00  course          Nursery  name=second id=two
    6 March 08:00  course_stopped  Nursery  course=one
    """
    assert room_from(log).courses["nursery"].name == "second"
    assert room_from(log + "7 March 08:00 course_stopped Nursery course=two\n").courses == {}


def test_acts_at_one_instant_change_water_before_dosing():
    room = room_from(
        f"{SET_UP}\n2 March 20:00 dose Nursery copper=8mg\n2 March 20:00 change Nursery share=50%"
    )
    assert [type(act) for _, act in room.acts("nursery")] == [Change, Dose]


def test_a_closed_tank_is_gone_and_its_log_stays():
    room = room_from(f"{SET_UP}\n2 March 08:00 tank_closed Rack why=sold")
    assert list(room.tanks) == ["nursery"]
    assert len(room.of_tank("rack")) == 2


def test_what_happens_to_nobody_known_changes_nothing():
    log = (
        f"{SET_UP}\n2 March 08:00 death Nursery stock=nobody\n2 March 08:01 move Nursery stock=nobody to=rack"
    )
    assert replay(entries_from(log)).stock == room_from(SET_UP).stock


def test_a_dose_takes_packets_off_the_shelf():
    shelf = f"{SET_UP}\n1 March 09:00 supply two-part unit=sachet copper=5mg left=3"
    room = room_from(f"{shelf}\n2 March 08:00 dose Nursery copper=10mg supply=two-part units=2")
    assert room.shelf["two-part"].left == 1


def test_a_tank_is_known_by_name_or_id():
    room = room_from(f"{SET_UP}\n2 March 08:00 move NURSERY stock=nursery-guppy to=Rack")
    assert [s.id for s in room.stock_of("rack")] == ["nursery-guppy"]
