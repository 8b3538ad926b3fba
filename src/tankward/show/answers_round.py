"""Today's round as the record that the command answers with."""

from __future__ import annotations

from datetime import datetime

from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.room.time import local
from tankward.rounds.heads import Heads
from tankward.rounds.round import Round, Visit, in_hand
from tankward.rounds.steps import StepDue

from .results_round import DoneRow, DueRow, HeadsRow, LookRow, RoundResult, StepRow
from .words import today as words


def round_result(found: Round, room: Room, now: datetime, zone: str, facts: Facts) -> RoundResult:
    """All of today's jobs, in their order."""
    nobody = not found.tanks and not room.tanks
    says = f"{words.EMPTY}." if nobody else words.finding(found, in_hand(found), room, zone)
    due = [
        *(
            DueRow(kind="missing", tank=m.tank, says=words.missing_words(m, room), then="")
            for m in found.missing
        ),
        *(_due(one.kind, one.tank, words.due_words(one, room, now, zone, facts)) for one in found.due),
    ]
    return RoundResult(
        says=says,
        looks=[_look(v, room, now, zone, facts) for v in found.visits],
        steps=[_step(s, room, now, zone, facts) for s in found.steps],
        due=due,
        done=[
            DoneRow(
                tank=one.tank, name=room.tanks[one.tank].name, at=local(one.look.at, zone).isoformat(),
                well=one.well, says=words.looked_words(one, room, facts), entry=one.look.id,
            )
            for one in found.looked
        ],
        assumes=[words.order_words(facts).rstrip(".")] if found.visits else [],
        now=now.isoformat(),
    )  # fmt: skip


def _due(kind: str, tank: str, told: tuple[str, str]) -> DueRow:
    return DueRow(kind=kind, tank=tank, says=told[0], then=told[1])


def _look(visit: Visit, room: Room, now: datetime, zone: str, facts: Facts) -> LookRow:
    line = words.heads_line(visit.heads, now, zone)
    return LookRow(
        tank=visit.tank,
        name=room.tanks[visit.tank].name,
        state=visit.state.state,
        says=f"{words.who(visit.heads)}, {line}" if line else words.who(visit.heads),
        care=words.care(visit, room, facts, now, zone),
        heads=[_heads(h) for h in visit.heads],
    )


def _heads(heads: Heads) -> HeadsRow:
    number = heads.number
    return HeadsRow(
        stock=heads.stock.id, name=heads.stock.name, value=number.value, low=number.low, high=number.high,
        since=heads.since.isoformat() if heads.since else "", countable=heads.countable,
    )  # fmt: skip


def _step(step: StepDue, room: Room, now: datetime, zone: str, facts: Facts) -> StepRow:
    return StepRow(
        id=step.step.id, tank=step.tank, at=local(step.step.at, zone).isoformat(), state=step.state,
        says=words.step_words(step, room, facts), how=step.step.how, why=step.step.why,
        hazard=step.step.hazard, late_h=step.late_h if step.state == "late" else 0.0,
        do_now=words.step_late(step, now),
    )  # fmt: skip
