"""How a course ended, and past cases, as the records that the commands answer with."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.room.treated import Treated
from tankward.rounds.hold import Hold
from tankward.rounds.watch import ClearanceWatch
from tankward.treat.supplies import Need

from .results_after import CaseResult, CasesResult, CourseClosedResult, HoldRow, LookRow, NeedRow
from .words.after import (
    NOT_GONE,
    hold_says,
    left_words,
    look_rows,
    met_words,
    outcome_words,
    watch_says,
)
from .words.cases import Case, case_row, cases_heading
from .words.supplies import cost_line


class After(Protocol):
    """A course that was closed, with all that follows from it."""

    @property
    def course(self) -> Treated: ...
    @property
    def days(self) -> int: ...
    @property
    def needs(self) -> Sequence[Need]: ...
    @property
    def watch(self) -> ClearanceWatch | None: ...
    @property
    def met(self) -> Sequence[ClearanceWatch]: ...
    @property
    def hold(self) -> Hold | None: ...


def closed_result(
    found: After, room: Room, now: datetime, zone: str, facts: Facts, told: str
) -> CourseClosedResult:
    """What the command answers."""
    one = found.course
    assert one.closed is not None
    name = room.tanks[one.tank].name
    says = [
        f"Closed in {name}: {one.begun.name}. {outcome_words(one.outcome)}.",
        watch_says(found.watch, room, now, zone, facts) if found.watch else "",
        hold_says(found.hold, room, now, zone, facts) if found.hold else "",
        NOT_GONE if found.hold else "",
        *(met_words(w, room, facts) for w in found.met),
        cost_line(found.needs),
    ]
    left = left_words(one)
    return CourseClosedResult(
        says="\n".join(line for line in says if line),
        tank=one.tank, course=one.begun.id, outcome=one.outcome, entry=one.closed.id,
        looks=[r for w in ([found.watch] if found.watch else []) + list(found.met)
               for r in _looks(w, now, zone, facts)],
        holds=[hold_row(found.hold, room, now, zone, facts)] if found.hold else [],
        given=[need_row(n) for n in found.needs],
        cautions=[left] if left else [],
        now=told,
    )  # fmt: skip


def _looks(watch: ClearanceWatch, now: datetime, zone: str, facts: Facts) -> list[LookRow]:
    said = look_rows(watch, now, zone, facts)
    return [
        LookRow(tank=watch.tank, on=look.on.isoformat(), says=row.head, why=row.soft, done=look.done)
        for look, row in zip(watch.looks, said, strict=True)
    ]


def hold_row(hold: Hold, room: Room, now: datetime, zone: str, facts: Facts) -> HoldRow:
    """Why nothing leaves a tank."""
    return HoldRow(
        tank=hold.tank, why=hold.why, causes=list(hold.causes),
        until=hold.until.isoformat() if hold.until else "", whole_room=hold.whole_room,
        says=hold_says(hold, room, now, zone, facts),
    )  # fmt: skip


def need_row(need: Need, says: str = "") -> NeedRow:
    """What is taken or was given of one packet."""
    return NeedRow(
        supply=need.supply, name=need.name, unit=need.unit, units=need.units, left=need.left, cost=need.cost,
        says=says,
    )  # fmt: skip


def cases_result(
    cases: Sequence[Case], tank: str, name: str, now: datetime, zone: str, facts: Facts, told: str
) -> CasesResult:
    """The cases of a tank or the room."""
    return CasesResult(
        says=f"{cases_heading(cases, name)}.", tank=tank,
        cases=[_case(c, now, zone, facts) for c in cases], now=told,
    )  # fmt: skip


def _case(case: Case, now: datetime, zone: str, facts: Facts) -> CaseResult:
    one, row = case.course, case_row(case, now, zone, facts)
    priced = [n.cost for n in case.needs if n.cost is not None]
    return CaseResult(
        tank=case.tank, course=one.begun.id, name=one.begun.name, substance=one.begun.substance,
        begun=one.begun.at.isoformat(), ended=one.over_at.isoformat() if one.over_at else "",
        signs=list(case.signs), cause=one.cause, outcome=one.outcome, days=case.days, dead=case.dead,
        given=[need_row(n) for n in case.needs], cost=sum(priced) if priced else None,
        note=one.closed.note if one.closed else "",
        says=f"{row.margin}, {row.sub}: {row.head}. {row.outcome}. {' '.join(row.lines)}",
    )  # fmt: skip
