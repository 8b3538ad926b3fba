"""The calendar: steps of one hour as one moment, what falls outside the hours, days apart that end."""

from datetime import UTC, date, datetime

import msgspec

from tankward.knowledge.loader import load
from tankward.room.acts import Change, Dose, LookAgain
from tankward.room.entries.acts import CourseBegun, Done, Step, StepSkipped
from tankward.room.hours import hours_of
from tankward.rounds.calendar import calendar_of, moments_of
from tests.helpers.rooms import room_from

FACTS = load()
NOW = datetime(2026, 5, 14, 18, 0, tzinfo=UTC)
TANK = '12 May 2026 08:00  tank  T5  volume="40 L" temp=24C\n'


def at(day, hour, minute=0):
    return datetime(2026, 5, day, hour, minute, tzinfo=UTC)


def step(name, when, act=None):
    return Step(id=f"praziquantel-fluke-20260514-{name}", at=when, act=act or Change(share=0.5))


STEPS = (
    step("change-1", at(14, 19)),
    step("dose-1", at(14, 19), Dose(actives={"praziquantel": 80.0})),
    step("watch-1", at(14, 19, 5), LookAgain(what="breathing")),
    step("change-2", at(15, 6)),
    step("look-1", at(15, 6, 30), LookAgain(what="the same signs")),
)


def moments(hours=""):
    return moments_of("t5", "a course", STEPS, hours_of(hours, NOW), "UTC")


def test_the_steps_of_one_hour_are_one_moment_named_by_the_first():
    found = moments()
    assert [m.at for m in found] == [at(14, 19), at(14, 19, 5), at(15, 6), at(15, 6, 30)]
    assert [len(m.steps) for m in found] == [2, 1, 1, 1]
    assert found[0].id == STEPS[0].id


def test_only_what_needs_hands_is_outside_the_hours():
    """A look may be made at any hour near it; the change at six can't."""
    assert [m.outside for m in moments("18:00-22:30")] == [False, False, True, False]
    assert [m.outside for m in moments("quiet 22:00-7:00")] == [False, False, True, False]
    assert [m.outside for m in moments("away Thu")] == [True, False, False, False]
    assert not any(m.outside for m in moments())


def test_what_was_told_of_a_step_stands_in_its_moment_and_keeps_its_name():
    room = CourseBegun(id="c", at=NOW, tank="t5", name="a course", steps=STEPS).effect(room_from(TANK))
    before = calendar_of(room, NOW, "UTC", FACTS).moments
    assert [m.over for m in before] == [False] * 4
    told = [
        Done(id="1", at=at(14, 19, 10), tank="t5", act=STEPS[0].act, step=STEPS[0].id),
        StepSkipped(id="2", at=at(14, 19, 10), tank="t5", step=STEPS[1].id, why="none left"),
        StepSkipped(id="3", at=at(14, 19, 10), tank="t5", step=STEPS[2].id, why="asleep"),
    ]
    after = calendar_of(msgspec.structs.replace(room, log=(*room.log, *told)), NOW, "UTC", FACTS).moments
    assert [m.id for m in after] == [m.id for m in before]
    assert [[s.state for s in m.steps] for m in after] == [
        ["done", "skipped"],
        ["skipped"],
        ["open"],
        ["open"],
    ]
    assert [(m.over, m.done) for m in after] == [(True, False), (True, False), (False, False), (False, False)]


def test_newcomers_are_over_after_the_days_of_the_rule():
    """28 days in home rooms, counted from the day on which they came (hygiene, quarantine)."""
    days = next(r for r in FACTS.hygiene.quarantine if r.id == "trade").high
    room = room_from(TANK + "12 May 2026 08:01  stock T5  kind=guppy number=8 length=3cm arrived=3days\n")
    marks = calendar_of(room, NOW, "UTC", FACTS).marks
    (mark,) = (m for m in marks if m.kind == "newcomers")
    assert [m.what for m in marks if m.kind == "newcomer-look"] == [*["droppings"] * 3, *["vents"] * 2]
    assert mark.on == date.fromordinal(date(2026, 5, 9).toordinal() + int(days))
    assert calendar_of(room, NOW, "UTC", FACTS, tank="t6").marks == ()
    assert calendar_of(room, datetime(2026, 9, 1, tzinfo=UTC), "UTC", FACTS).marks == ()
