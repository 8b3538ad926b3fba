"""The steps of a proposed course as rows: those of the first day one by one, the later ones by their hour."""

from __future__ import annotations

import re
from datetime import datetime
from itertools import groupby

import msgspec

from tankward.room.entries.acts import Step
from tankward.room.time import day_of, hours_between

from .acts import ended, group_head, lowered
from .course import entry_steps
from .days import clock, day_margin
from .step_parts import Context


class StepRow(msgspec.Struct, frozen=True, kw_only=True):
    """One step, or the steps of one hour told as one with each of them in `inside`."""

    margin: str
    sub: str = ""
    head: str
    how: str = ""
    why: str = ""
    hazard: str = ""
    inside: tuple[StepRow, ...] = ()


def first_rows(c: Context, zone: str) -> list[StepRow]:
    """The first day, step by step; an hour stands once."""
    said = entry_steps(c)
    first = day_of(c.course.start, zone)
    rows, last = [], ""
    for step in (said[s.id] for s in c.course.steps if day_of(s.at, zone) == first):
        at = clock(step.at, zone)
        rows.append(
            StepRow(
                margin=at if at != last else "",
                head=step.says,
                how=step.how,
                why=step.why,
                hazard=step.hazard,
            )
        )
        last = at
    return rows


def later_rows(c: Context, now: datetime, zone: str) -> list[StepRow]:
    """The days after, one row an hour; days on which the same is done at the same hours as one."""
    said = entry_steps(c)
    first = day_of(c.course.start, zone)
    kinds = {s.id: s.kind for s in c.course.steps}
    steps = [said[s.id] for s in c.course.steps if day_of(s.at, zone) != first]
    days = [list(day) for _, day in groupby(steps, key=lambda s: day_of(s.at, zone))]
    rows: list[StepRow] = []
    for _, same in groupby(days, key=lambda day: [(clock(s.at, zone), kinds[s.id]) for s in day]):
        alike = list(same)
        if len(alike) >= ALIKE:
            rows.append(_every_day(alike, c, now, zone))
        else:
            rows = _hours(rows, [step for day in alike for step in day], c, now, zone)
    return rows


ALIKE = 3  # so many days on which the same is done are told as one
COUNTED = re.compile(r", (day )?\d+( of \d+)?\b")  # "day 3", "4 of 15"


def _every_day(days: list[list[Step]], c: Context, now: datetime, zone: str) -> StepRow:
    """The first of such days, with the hours of it, and each of them inside."""
    first, last = days[0], days[-1]
    heads = [
        f"{clock(at, zone)} {lowered(COUNTED.sub('', group_head(list(group), c.facts)))}"
        for at, group in groupby(first, key=lambda s: s.at)
    ]
    inside = [
        msgspec.structs.replace(row, head=f"{row.margin} {row.sub}: {lowered(row.head)}", inside=())
        for row in _hours([], [step for day in days for step in day], c, now, zone)
    ]
    how = [
        StepRow(margin="", head=COUNTED.sub("", s.says), how=s.how, why=s.why, hazard=s.hazard)
        for s in first
        if s.how or s.why or s.hazard
    ]
    return StepRow(
        margin=day_margin(first[0].at, now, zone),
        sub=f"to {day_margin(last[0].at, now, zone)}",
        head=ended(f"Every day at {'; '.join(heads)}"),
        inside=(*how, *inside),
    )


def _hours(rows: list[StepRow], steps: list[Step], c: Context, now: datetime, zone: str) -> list[StepRow]:
    """One row an hour."""
    for at, group in groupby(steps, key=lambda s: s.at):
        inside = list(group)
        if all(s.says.startswith("Watch them") for s in inside) and rows:
            rows[-1] = msgspec.structs.replace(rows[-1], inside=(*rows[-1].inside, *_inside(inside)))
            continue
        rows.append(
            StepRow(
                margin=day_margin(at, now, zone),
                sub=clock(at, zone),
                head=ended(group_head(inside, c.facts)),
                inside=_inside(inside),
            )
        )
    return rows


def _inside(steps: list[Step]) -> tuple[StepRow, ...]:
    return tuple(StepRow(margin="", head=s.says, how=s.how, why=s.why, hazard=s.hazard) for s in steps)


def lasts(c: Context, zone: str) -> str:
    """How long the first day's steps take."""
    first = day_of(c.course.start, zone)
    today = [s.at for s in c.course.steps if day_of(s.at, zone) == first]
    hours = hours_between(today[0], today[-1]) if len(today) > 1 else 0.0
    return f"{hours:.0f} hours" if hours >= 1.5 else ""
