"""The steps of a course that runs, as rows: what is due, what is late and what to do then, what was done."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from itertools import groupby
from typing import Protocol

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.acts import Change, Dose, Feed, LookAgain
from tankward.room.entries.acts import Step
from tankward.room.time import day_of, hours_between
from tankward.treat.mend.late import Late

from .acts import ended, group_head, is_dechlorinator, step_head
from .days import clock, day_margin, day_said, days_said, since

NEARER = 0.5  # of the time to the next dose: from then on the water decides what is done with a late one


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


class Put(Protocol):
    """Why a dose comes later than planned."""

    @property
    def planned(self) -> datetime: ...
    @property
    def given(self) -> datetime: ...
    @property
    def due(self) -> datetime: ...
    @property
    def apart_h(self) -> float: ...
    @property
    def open(self) -> bool: ...


class CanMove(Stands, Protocol):
    """A step that may have been put off."""

    @property
    def moved(self) -> Put | None: ...


class Runs(Protocol):
    """A course that runs."""

    @property
    def steps(self) -> Sequence[CanMove]: ...


class PlannedRow(msgspec.Struct, frozen=True, kw_only=True):
    """One row. `step` names what a tick ticks off; "" is a day to come, told as one."""

    margin: str
    sub: str
    head: str
    how: str = ""
    why: str = ""
    hazard: str = ""
    late: str = ""
    moved: str = ""  # why it comes later than planned
    is_late: bool = False
    step: str = ""
    entry: str = ""
    done_words: str = ""


def planned_rows(
    run: Runs, now: datetime, zone: str, facts: Facts, late: Late | None = None
) -> tuple[list[PlannedRow], list[PlannedRow]]:
    """Rows to come, and rows that are done or were left out; `late`: what is to be done with a late dose."""
    left = [s for s in run.steps if s.state in ("late", "due", "later")]
    here = [s for s in left if s.state != "later"]
    first_day = day_of(left[0].step.at, zone) if left else None
    near = here or [s for s in left if day_of(s.step.at, zone) == first_day]
    rows = _once([_open(s, now, zone, facts, late) for s in near])
    after = [s.step for s in left if s not in near and not is_watching(s.step)]
    put = {s.step.id: s.moved for s in left if s.moved}
    rows += [_day(list(steps), now, zone, facts, put) for _, steps in groupby(after, key=lambda s: s.at)]
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


def _open(s: CanMove, now: datetime, zone: str, facts: Facts, late: Late | None) -> PlannedRow:
    step = s.step
    return PlannedRow(
        margin=day_margin(step.at, now, zone),
        sub=clock(step.at, zone),
        head=ended(step_head(step, facts)),
        how=step.how,
        why=step.why,
        hazard=step.hazard,
        late=_late_said(s, now, zone, late) if s.state == "late" else "",
        moved=moved_words(s.moved, now, zone) if s.moved else "",
        step=step.id,
    )


def _day(
    steps: list[Step], now: datetime, zone: str, facts: Facts, put: Mapping[str, Put]
) -> PlannedRow:  # fmt: skip
    at = steps[0].at
    why = next((put[s.id] for s in steps if s.id in put), None)
    return PlannedRow(
        margin=day_margin(at, now, zone), sub=clock(at, zone), head=ended(group_head(steps, facts)),
        moved=moved_words(why, now, zone) if why else "",
    )  # fmt: skip


def moved_words(put: Put, now: datetime, zone: str) -> str:
    """Not sooner: the dose before was given 20 hours late."""
    late = since(hours_between(put.due, put.given))
    was = f"{day_said(put.planned, now, zone)} {clock(put.planned, zone)}"
    why = "the one before is put off too" if put.open else f"the one before was given {late} late"
    apart = days_said(put.apart_h)
    return f"Not sooner, though planned for {was}: {why}, and two of them stand {apart} apart at least"


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


def _late_said(s: Stands, now: datetime, zone: str, late: Late | None) -> str:
    """Of a dose what the water and the spacing allow, as a slip is answered; of all else `late_words`."""
    if late is None or not isinstance(s.step.act, Dose) or is_dechlorinator(s.step.act):
        return late_words(s, now)
    told = f"{since(hours_between(s.step.at, now))} late"
    if late.step != s.step.id:
        return f"{told}: leave it out, a later one is due as well; never two at once"
    if late.advice == "leave-out":
        return f"{told}: leave it out, enough of it is still in"
    if late.advice == "wait":
        return f"{told}: wait, not before {day_said(late.give_at, now, zone)} {clock(late.give_at, zone)}"
    if late.advice == "give-and-move" and late.next_then is not None:
        then = f"{day_said(late.next_then, now, zone)} {clock(late.next_then, zone)}"
        return f"{told}: give it now, the next one not before {then}; never two at once"
    return f"{told}: give it now; never two at once"


def late_words(s: Stands, now: datetime) -> str:
    """How late, and what to do now."""
    hours = hours_between(s.step.at, now)
    told = f"{since(hours)} late"
    act = s.step.act
    if isinstance(act, Dose) and not is_dechlorinator(act):
        if s.gap_h is not None and hours > NEARER * s.gap_h:
            return f"{told}: see on the page of its tank what to do with it; never two at once"
        return f"{told}: give it now; never two at once"
    if isinstance(act, Change):
        return f"{told}: change it now, before anything goes in"
    if isinstance(act, Feed):
        return f"{told}: feed now; don't feed double"
    return f"{told}: do it now, nothing else changes"
