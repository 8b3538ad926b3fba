"""Packets counted: what a course takes, whether it is there, what it costs; courses share one packet."""

import pytest
from msgspec.structs import replace

from tankward.quantities.parse import Estimate
from tankward.room.acts import Dose
from tankward.room.entries.acts import Done
from tankward.room.replay import replay
from tankward.room.things import Active, Supply
from tankward.room.treated import treated
from tankward.show.words.supplies import cost_line, need_line, short_line, short_of_rest
from tankward.treat.course.make import make_course
from tankward.treat.supplies import given, of_course, of_steps, short, still_to_give
from tests.helpers.rooms import entries_from
from tests.room.test_treated import at, begun
from tests.treat.tanks import FACTS, NOW, hardy

ROOM = """
1 May 2026 08:00  tank  T8  volume="45 L"
1 May 2026 08:00  tank  T9  volume="45 L"
1 May 2026 08:01  stock T8  kind=guppy number=8
1 May 2026 08:01  stock T9  kind=guppy number=8
1 May 2026 08:02  supply "worm sachet" unit=sachet praziquantel="90 mg" left={left} {price}
"""
ONE = Dose(actives={"praziquantel": 90.0}, supply="worm-sachet", units=1.0)


def packets(left="3", price="price=0.95"):
    return entries_from(ROOM.format(left=left, price=price))


def course(id_="course1", tank="t8", units=1.0):
    """Three doses of so many packets, two days apart."""
    dose = replace(ONE, units=units, actives={"praziquantel": 90.0 * units})
    one = begun(id_)
    steps = tuple(replace(s, at=at(2 * n), act=dose) for n, s in enumerate(one.steps[:3]))
    return replace(one, tank=tank, steps=steps, supply="worm-sachet")


def tick(one, number):
    step = one.steps[number]
    return Done(id=f"tick-{one.id}-{number}", at=step.at, tank=one.tank, act=step.act, step=step.id)


def test_each_tick_counts_one_off_the_shelf_and_an_undo_puts_it_back():
    one = course()
    room = replay([*packets(), one, tick(one, 0), tick(one, 1)])
    assert room.shelf["worm-sachet"].left == 1.0
    assert replay([*packets(), one, tick(one, 0)]).shelf["worm-sachet"].left == 2.0


def test_what_the_rest_takes_and_what_was_given_with_its_cost():
    one = course()
    room = replay([*packets(), one, tick(one, 0)])
    (now,) = treated(room, "t8")
    (rest,) = of_steps(still_to_give(now), room.shelf)
    assert (rest.units, rest.left, rest.enough, rest.cost) == (2.0, 2.0, True, pytest.approx(1.90))
    (had,) = given(room, now)
    assert (had.units, had.cost) == (1.0, pytest.approx(0.95))
    assert cost_line([had]) == "Given: one sachet of worm sachet. It cost 0.95, as you paid."


def test_too_few_for_the_rest_is_said_with_how_many():
    one = course()
    room = replay([*packets(left="1"), one])
    ((tank, need),) = short(room)
    assert (tank, need.units, need.short) == ("t8", 3.0, 2.0)
    assert short_of_rest(need, "T8") == (
        "The course in T8 still takes 3 sachets of worm sachet, and one sachet is there for it."
    )
    assert short(replay([*packets(left="3"), one])) == []


def test_two_courses_on_one_packet_share_what_is_left():
    first, other = course(), course("course2", "t9")
    room = replay([*packets(left="4"), first, other])
    lacks = {tank: (need.units, need.left) for tank, need in short(room)}
    assert lacks == {"t8": (3.0, 2.0), "t9": (3.0, 2.0)}  # six are wanted by turns: neither has its last
    assert short(replay([*packets(left="6"), first, other])) == []


def test_what_nobody_counted_or_priced_is_not_known_never_nothing():
    one = course()
    room = replay([*entries_from(ROOM.format(left="dont-know", price="")), one])
    (now,) = treated(room, "t8")
    (need,) = of_steps(still_to_give(now), room.shelf)
    assert (need.enough, need.cost) == (None, None)
    assert short(room) == []
    assert need_line(need) == (
        "Takes 3 sachets of worm sachet; how many are left was not counted; its price is not known."
    )
    assert short_line(need) == ""
    assert "not known" in cost_line([need])


def test_parts_of_a_packet_add_up():
    one = course(units=1 / 3)
    room = replay([*packets(left="1"), one])
    assert short(room) == []


def test_a_proposed_course_says_what_it_takes_and_what_that_costs():
    packet = Supply(
        id="p1", name="worm sachet", unit="sachet", actives=(Active(substance="praziquantel", mg=90.0),),
        left=1.0, price=0.95,
    )  # fmt: skip
    request = replace(hardy(causes=("gill_flukes",)), shelf=(packet,), volume_l=Estimate.exact(54.0))
    made = make_course(
        request, "praziquantel", "water_long", facts=FACTS, start=NOW, now=NOW, regimen_id="", supply=packet
    )
    (need,) = of_course(made, {"p1": packet})
    assert need.units == pytest.approx(sum(d.units for d in made.doses))
    assert need.cost == pytest.approx(0.95 * need.units)
    assert need.enough is (need.units <= 1.0)
