"""An examination as the rows that leave: JSON and terminal."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from tankward.judge.causes import Ranked
from tankward.judge.finding import Finding
from tankward.judge.laboratory import Sent
from tankward.judge.next_look import NextLook
from tankward.judge.urgent import LOOK_AGAIN, Urgent, UrgentStep
from tankward.knowledge.known import Facts
from tankward.room.things import Kit

from .results_judge import ActRow, CauseRow, FindingRow, LookRow
from .words.causes import look_head, people_words, why_moved
from .words.closer import WAIT_HEAD, lens_head, sent_head
from .words.judge import cause_name, finding_says, ranked_words, step_ask, step_head, step_soft
from .words.urgent import hose_of


def act_row(step: UrgentStep) -> ActRow:
    """One act of the next ten minutes."""
    amount = step.amount
    return ActRow(
        act=step.act,
        says=step_head(step),
        amount=amount.shown if amount is not None and amount.value is not None else "",
        why=step_soft(step),
        ask=step_ask(step),
        how=list(amount.how) if amount is not None else [],
        source=step.source,
        status=step.status,
    )


def act_rows(urgent: Urgent | None, kit: Kit | None = None) -> list[ActRow]:
    """The acts in their order, with minutes of the hose where it was timed; none where nothing is urgent."""
    rows = [_in_minutes(act_row(s), s, kit) for s in urgent.steps] if urgent else []
    timer = f" in {urgent.look_again_min} minutes" if urgent else ""
    return [msgspec.structs.replace(r, says=r.says + timer) if r.act == LOOK_AGAIN.act else r for r in rows]


def _in_minutes(row: ActRow, step: UrgentStep, kit: Kit | None) -> ActRow:
    hose = hose_of(step, kit) if kit else ""
    return msgspec.structs.replace(row, says=f"{row.says}, {hose}") if hose else row


def finding_row(f: Finding) -> FindingRow:
    """One finding."""
    return FindingRow(
        kind=f.kind,
        severity=f.severity,
        says=finding_says(f),
        value=f.value,
        low=f.low,
        high=f.high,
        unit=f.unit,
        limit=f.limit,
        before_medicine=f.blocks_medicine,
        source=f.source,
        status=f.status,
    )


def cause_row(r: Ranked, facts: Facts) -> CauseRow:
    """One cause."""
    cause = facts.causes.get(r.id)
    return CauseRow(
        id=r.id,
        name=cause_name(r.id, facts),
        low=r.low,
        value=r.value,
        high=r.high,
        word=ranked_words(r),
        speaks_for=[s.what for s in r.speaks_for],
        speaks_against=[s.what for s in r.speaks_against],
        moved=why_moved(r, facts),
        people=people_words(r.human_hazard),
        source=cause.basis.source if cause else "none",
        status=cause.basis.status if cause else "memory",
    )


def closer_rows(
    lens: Iterable[NextLook], wait: NextLook | None, sent: Iterable[Sent], facts: Facts
) -> list[LookRow]:
    """What looks closer: with a microscope, a day later, by others; each with its cause."""
    named = [(look, lens_head(look, facts)) for look in lens]
    named += [(wait, WAIT_HEAD)] if wait else []
    named += [(s.look, sent_head(s, facts)) for s in sent]
    return [msgspec.structs.replace(look_row(look, facts), what=what) for look, what in named]


def look_row(look: NextLook, facts: Facts) -> LookRow:
    """One look that would tell something."""
    return LookRow(
        id=look.id,
        what=look_head(look, facts),
        minutes=look.minutes,
        harm=look.harm,
        gain=look.gain,
        source="none",
        status="computed",
    )
