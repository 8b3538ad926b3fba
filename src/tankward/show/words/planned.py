"""The steps of a course that runs, as rows: what is due, what is late and what to do then, what was done."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from itertools import groupby
from typing import Protocol

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.acts import Change, Dose, Feed, LookAgain
from tankward.room.entries.acts import Step
from tankward.room.time import day_of, hours_between

from .acts import ended, group_head, is_dechlorinator, step_head
from .days import clock, day_margin, since

NEARER = 0.5  # of the time to the next dose: after that the next one is nearer


class Stands(Protocol):
    """A step and how it stands."""

    @property
    def step(self) -> Step: ...
    @property
    def state(self) -> str: ...
    @property
    def entry(self) -> str: ...
    @property
    def at(self) -> datetime | None: ...
    @property
    def gap_h(self) -> float | None: ...


class Runs(Protocol):
    """A course that runs."""

    @property
    def steps(self) -> Sequence[Stands]: ...


class PlannedRow(msgspec.Struct, frozen=True, kw_only=True):
    """One row. `step` names what a tick ticks off; "" is a day to come, told as one."""

    margin: str
    sub: str
    head: str
    how: str = ""
    why: str = ""
    hazard: str = ""
    late: str = ""
    is_late: bool = False
    step: str = ""
    entry: str = ""
    done_words: str = ""


def planned_rows(
    run: Runs, now: datetime, zone: str, facts: Facts
) -> tuple[list[PlannedRow], list[PlannedRow]]:
    """Rows to come, and rows that are done or were left out."""
    left = [s for s in run.steps if s.state in ("late", "due", "later")]
    here = [s for s in left if s.state != "later"]
    first_day = day_of(left[0].step.at, zone) if left else None
    near = here or [s for s in left if day_of(s.step.at, zone) == first_day]
    rows = _once([_open(s, now, zone, facts) for s in near])
    after = [s.step for s in left if s not in near and not is_watching(s.step)]
    rows += [_day(list(steps), now, zone, facts) for _, steps in groupby(after, key=lambda s: s.at)]
    done = [_done(s, now, zone, facts) for s in run.steps if s.state in ("done", "skipped")]
    return rows, done


def _once(rows: list[PlannedRow]) -> list[PlannedRow]:
    """An hour, and how late it is, stand once where several steps share them."""
    told: list[PlannedRow] = []
    hour, late = ("", ""), ""
    for row in rows:
        same = (row.margin, row.sub) == hour
        hour = (row.margin, row.sub)
        again = row.late == late
        late = row.late or late
        told.append(
            msgspec.structs.replace(
                row,
                margin="" if same else row.margin,
                sub="" if same else row.sub,
                late="" if again else row.late,
                is_late=bool(row.late),
            )
        )
    return told


def is_watching(step: Step) -> bool:
    """The minutes after a dose: told with it."""
    return isinstance(step.act, LookAgain) and step.act.what.startswith("breathing")


def _open(s: Stands, now: datetime, zone: str, facts: Facts) -> PlannedRow:
    step = s.step
    return PlannedRow(
        margin=day_margin(step.at, now, zone),
        sub=clock(step.at, zone),
        head=ended(step_head(step, facts)),
        how=step.how,
        why=step.why,
        hazard=step.hazard,
        late=late_words(s, now) if s.state == "late" else "",
        step=step.id,
    )


def _day(steps: list[Step], now: datetime, zone: str, facts: Facts) -> PlannedRow:
    at = steps[0].at
    return PlannedRow(
        margin=day_margin(at, now, zone), sub=clock(at, zone), head=ended(group_head(steps, facts))
    )


def _done(s: Stands, now: datetime, zone: str, facts: Facts) -> PlannedRow:
    at = s.at or s.step.at
    words = f"done {clock(at, zone)}" if s.state == "done" else "left out"
    return PlannedRow(
        margin=day_margin(at, now, zone),
        sub=clock(at, zone),
        head=ended(step_head(s.step, facts)),
        entry=s.entry,
        done_words=words,
    )


def late_words(s: Stands, now: datetime) -> str:
    """How late, and what to do now."""
    hours = hours_between(s.step.at, now)
    told = f"{since(hours)} late"
    act = s.step.act
    if isinstance(act, Dose) and not is_dechlorinator(act):
        if s.gap_h is not None and hours > NEARER * s.gap_h:
            return f"{told}: the next one is nearer now. Skip this one; never give two at once"
        return f"{told}: give it now; never two at once"
    if isinstance(act, Change):
        return f"{told}: change it now, before anything goes in"
    if isinstance(act, Feed):
        return f"{told}: feed now; don't feed double"
    return f"{told}: do it now, nothing else changes"
