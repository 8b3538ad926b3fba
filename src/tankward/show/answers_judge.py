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
from tankward.room.replay import Room
from tankward.room.things import Kit
from tankward.treat.mend.inside import InIt
from tankward.treat.mend.power import Lasts

from .results_judge import ActRow, CauseRow, FindingRow, FirstRow, InWaterRow, LookRow
from .words.acts import upper
from .words.causes import look_head, people_words, why_moved
from .words.closer import WAIT_HEAD, lens_head, sent_head
from .words.judge import cause_name, finding_says, ranked_words, step_ask, step_head, step_soft
from .words.mend_around import first_said
from .words.mend_parts import Here
from .words.mending import mend_said
from .words.mistake import level_says, level_soft
from .words.urgent import hose_of


def act_row(step: UrgentStep, here: Here | None = None) -> ActRow:
    """One act of the next ten minutes, or of the hours after a slip."""
    amount, said = step.amount, mend_said(step, here) if here is not None else None
    shown = amount.shown if amount is not None and amount.value is not None else ""
    when = f"{upper(here.when(step.at))}: " if here is not None and step.at is not None else ""
    return ActRow(
        act=step.act,
        says=f"{when}{said.head if said else step_head(step)}",
        amount=said.amount or shown if said else shown,
        why=said.why if said else step_soft(step),
        ask=step_ask(step),
        how=list(amount.how) if amount is not None else [],
        source=step.source,
        status=step.status,
        at=step.at.isoformat() if step.at is not None else "",
    )


def act_rows(urgent: Urgent | None, kit: Kit | None = None, here: Here | None = None) -> list[ActRow]:
    """The acts in their order, with minutes of the hose where it was timed; none where nothing is urgent."""
    rows = [_in_minutes(act_row(s, here), s, kit) for s in urgent.steps] if urgent else []
    timer = f" in {urgent.look_again_min} minutes" if urgent else ""
    return [msgspec.structs.replace(r, says=r.says + timer) if r.act == LOOK_AGAIN.act else r for r in rows]


def _in_minutes(row: ActRow, step: UrgentStep, kit: Kit | None) -> ActRow:
    hose = hose_of(step, kit) if kit else ""
    return msgspec.structs.replace(row, says=f"{row.says.rstrip('.')}, {hose}") if hose else row


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


def in_water_row(x: InIt, facts: Facts) -> InWaterRow:
    """A medicine in the water now."""
    return InWaterRow(
        substance=x.substance,
        value=x.level.value,
        low=x.level.low,
        high=x.level.high,
        unit=x.unit,
        safe=x.safe.level,
        changes=len(x.thin.changes) if x.thin else 0,
        says=f"{level_says(x.substance, x.level, x.unit, facts)}. {level_soft(x)}",
        source=x.safe.source,
        status=x.safe.status,
    )


def first_row(x: Lasts, room: Room) -> FirstRow:
    """One tank without power."""
    name = room.tanks[x.tank].name
    return FirstRow(tank=x.tank, danger_h=x.danger[0], care_h=x.care[0], says=f"{name}: {first_said(x)}")
