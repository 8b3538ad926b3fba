"""The calendar in words: a moment of a course, a look of a watch, newcomers' days over, the hours at home."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from tankward.knowledge.known import Facts
from tankward.room.hours import Hours, Span
from tankward.room.hours_written import clock_said, named
from tankward.room.replay import Room
from tankward.rounds.calendar import Calendar, DayMark, Moment, StepOn

from .acts import ended, group_head, step_head, upper
from .after import waits_for, wanted
from .days import clock, day_said
from .newcomers import LOOK_AT, LOOK_THEN
from .status import status_words

BOXES = {"open": "☐", "done": "☑", "skipped": "–"}
TOLD = {"open": "", "done": "Done", "skipped": "Left out"}
AWAY = "away"
NOT_HOME = "not at home"
ALL_DAY = ((0, 1440),)
OUTSIDE = "outside your hours"
HOURS_EXAMPLES = (
    ("18:00-22:30", "Every day. Also 6pm-10pm, after 18:00, until 9:00."),
    ("Mon-Fri 18:00-22:00; Sat, Sun 8:00-22:00", "Days of the week. Also weekdays, weekends."),
    (
        "odd weeks Mon-Fri 6:00-14:00; even weeks Mon-Fri 14:00-22:00",
        "Weeks of the calendar, by their number.",
    ),
    (
        "week A from 11 May Mon-Fri 6:00-14:00; week B Mon-Fri 14:00-22:00",
        "Two weeks in turn, from that one.",
    ),
    (
        "away 12-14 May",
        "These days. Also away Thu-Sun for the coming ones, until Sunday, 10 days from 15 May.",
    ),
    ("not Wed", "Every Wednesday. Also away every Wed."),
    ("away Mon-Fri 9:00-17:00", "Out every week in these hours."),
    ("quiet 22:00-7:00", "Nothing is done then, though you are at home."),
)
NO_ALARM = "Without alarms: set your own where you want one."


def tank_name(tank: str, room: Room) -> str:
    return room.tanks[tank].name if tank in room.tanks else tank


def moment_head(moment: Moment, facts: Facts) -> str:
    """What a moment is about: "Change half of the water, then give 250 mL"; not what is done already."""
    left = [s.step for s in moment.steps if s.state == "open"]
    return group_head(left or [s.step for s in moment.steps], facts)


def moment_state(moment: Moment) -> str:
    """Done, left out, or nothing."""
    if not moment.over:
        return ""
    return TOLD["done" if any(s.state == "done" for s in moment.steps) else "skipped"]


def moment_title(moment: Moment, room: Room, facts: Facts) -> str:
    """As a calendar lists it: the tank first."""
    told = moment_state(moment)
    name = tank_name(moment.tank, room)
    return f"{name}: {f'{told.lower()}: ' if told else ''}{moment_head(moment, facts)}"


def step_line(one: StepOn, facts: Facts) -> str:
    """One step with its box."""
    parts = [f"{BOXES[one.state]} {ended(step_head(one.step, facts))}", one.step.how, one.step.hazard]
    return " ".join(p for p in parts if p)


def moment_lines(moment: Moment, facts: Facts, danger: Sequence[str] = ()) -> list[str]:
    """Everything of a moment: its danger first, its steps, what it belongs to."""
    outside = ["This is outside your hours: ask somebody, or start the course at another time."]
    return [
        *danger,
        *(step_line(s, facts) for s in moment.steps),
        *(outside if moment.outside else []),
        ended(f"Course: {moment.course}"),
    ]


def mark_head(mark: DayMark, room: Room, facts: Facts) -> str:
    """What a day brings: a look, or the end of days apart."""
    name = tank_name(mark.tank, room)
    if mark.kind == "watch" and mark.watch is not None:
        return f"{name}: look for {wanted(mark.watch, facts)}"
    if mark.kind == "newcomer-look":
        return f"{name}: look at {LOOK_AT[mark.what]} of the newcomers, day {mark.days:g}"
    return f"{name}: the days apart of the {room.stock[mark.stock].name} are over"


def mark_soft(mark: DayMark, facts: Facts) -> str:
    """Why on this day."""
    if mark.kind == "watch" and mark.watch is not None and mark.look is not None:
        return waits_for(mark.look, mark.watch, facts)
    sure = status_words(mark.status)
    if mark.kind == "newcomer-look":
        return LOOK_THEN[mark.what]
    return f"{mark.days:g} days ({sure}). Look first: a sign, or a newcomer, begins them anew."


def span_words(span: Span) -> str:
    """18:00 to 22:30."""
    return f"{clock_said(span[0])} to {clock_said(span[1])}"


def home_words(hours: Hours | None, day: date) -> str:
    """When the keeper is there that day; "" where no hours are known."""
    if hours is None:
        return ""
    if hours.away(day):
        return AWAY
    spans = hours.spans_on(day)
    if spans == ALL_DAY:
        return "at any hour"
    return ", ".join(map(span_words, spans)) or NOT_HOME


def between_words(first: date, last: date) -> str:
    """Thu 14 May, or Thu 14 to Sun 17 May."""
    if first == last:
        return _day(first)
    same = (first.year, first.month) == (last.year, last.month)
    return f"{first:%a} {first.day}{'' if same else f' {first:%B}'} to {_day(last)}"


def _day(day: date) -> str:
    return f"{day:%a} {day.day} {day:%B}"


def hours_lines(hours: Hours, today: date) -> list[str]:
    """What a table of two weeks does not say by itself: the turn of weeks, days away, quiet hours."""
    told = []
    if len(hours.weeks) > 1 and hours.turn is None:
        week = today.isocalendar().week
        told.append(
            f"Odd and even weeks of the calendar: this is week {week}, {'odd' if week % 2 else 'even'}."
        )
    elif hours.turn is not None:
        which = "AB"[hours.which_week(today)]
        told.append(f"Two weeks in turn: this is week {which}.")
    told += [f"Away {between_words(*span)}." for span in hours.absent if span[1] >= today]
    if any(hours.quiet):
        told.append("Left out: " + "; ".join(quiet_words(hours)) + ".")
    return told


def quiet_words(hours: Hours) -> list[str]:
    """Quiet hours, the days named where they are not alike."""
    groups: dict[tuple[Span, ...], list[int]] = {}
    for day, spans in enumerate(hours.quiet):
        if spans:
            groups.setdefault(spans, []).append(day)
    return [
        f"{named(days) + ' ' if len(days) < 7 else ''}{' and '.join(map(span_words, spans))}"
        for spans, days in groups.items()
    ]


def calendar_says(found: Calendar, tank: str, proposed: str, now: datetime, zone: str) -> tuple[str, str]:
    """The finding of a calendar, and the line under it."""
    left = [m for m in found.moments if not m.over]
    outside = sum(m.outside for m in left)
    where = f" in {tank}" if tank else ""
    if not left and not found.marks:
        return f"Nothing is planned{where}.", "A course that is begun puts its steps here."
    if proposed:
        ends = [day_said(m.at, now, zone) for m in (left[0], left[-1])]
        says = f"{upper(proposed)}{where}: {ends[0]} to {ends[1]}."
    elif left:
        says = f"Next{where}: {day_said(left[0].at, now, zone)} at {clock(left[0].at, zone)}."
    else:
        says = f"Next{where}: {_day(min(m.on for m in found.marks))}."
    many = {0: "", 1: "One thing falls outside your hours."}
    why = many.get(outside, f"{outside} things fall outside your hours.")
    return says, " ".join(t for t in ("Not begun yet." if proposed else "", why) if t)
