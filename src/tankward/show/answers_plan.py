"""A plan as the rows that leave."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from tankward.knowledge.known import Facts
from tankward.room.things import Kit, Supply
from tankward.treat.planner.records import Line, Packet, Plan, Planned, Score

from .answers_course import step_row
from .results import RefusedBecause
from .results_plan import ClearRow, LossRow, PacketRow, PlanLineRow, PlannedRow, PlanResult, SearchedRow
from .words.acts import upper
from .words.plan import (
    best_words,
    clear_words,
    cost_words,
    each_once,
    gives_up,
    harm_words,
    left_alone_words,
    letter,
    line_words,
    loss_words,
    packet_words,
    plan_heading,
    planned_name,
    searched_words,
    work_words,
)
from .words.plan_page import then_words, unread_words
from .words.ruled_out import because_words
from .words.step_parts import Context


def plan_result(
    plan: Plan,
    tank: str,
    links: Sequence[Mapping[str, str]],
    facts: Facts,
    kit: Kit,
    shelf: Mapping[str, Supply],
    zone: str,
    now: str,
) -> PlanResult:
    """A plan as the command answers it; `links`: of each course what makes it again."""
    rows = zip(plan.courses, links, strict=True)
    return PlanResult(
        says=plan_heading(plan, tank, facts),
        tank=plan.tank,
        causes=list(plan.causes),
        by=plan.by.isoformat(),
        courses=[_planned(p, plan, link, facts, kit, shelf, zone) for p, link in rows],
        packets=[_packet(p, plan, facts) for p in plan.packets],
        left_alone=_clear(plan.left_alone, plan.by) if plan.left_alone else None,
        alone=left_alone_words(plan, facts),
        nothing=[
            RefusedBecause(
                kind=r.kind, because=r.because, would_change=r.would_change, who=list(r.who), source=r.source,
                status=r.status,
            )
            for r in each_once(plan.nothing)
        ],
        ruled_out=[f"{r.id}: {because_words(r)}" for r in plan.ruled_out],
        searched=SearchedRow(
            drafted=plan.searched.drafted, screened=plan.searched.screened, simulated=plan.searched.simulated,
            refined=plan.searched.refined,
        ),
        looked=searched_words(plan),
        cautions=[unread_words(plan)] if unread_words(plan) else [],
        now=now,
    )  # fmt: skip


def _planned(
    planned: Planned,
    plan: Plan,
    link: Mapping[str, str],
    facts: Facts,
    kit: Kit,
    shelf: Mapping[str, Supply],
    zone: str,
) -> PlannedRow:
    c = Context(course=planned.course, facts=facts, kit=kit, shelf=shelf)
    score = planned.score
    return PlannedRow(
        letter=letter(planned, plan),
        name=planned_name(planned, facts),
        best=list(planned.best),
        says=f"{planned_name(planned, facts)}: {best_words(planned.best)}. "
        f"{clear_words(score, plan, facts, zone)}",
        option=planned.option.id,
        start=planned.course.start.isoformat(),
        ends=planned.course.ends.isoformat(),
        days=score.days,
        minutes_low=score.minutes[0],
        minutes_high=score.minutes[1],
        cost=score.cost,
        clear=_clear(score, plan.by),
        harm=score.harm,
        chances=[_line(line, facts) for line in score.lines],
        steps=[step_row(s, c) for s in planned.course.steps],
        gives_up=gives_up(planned, plan, facts),
        losses=[
            LossRow(
                kind=x.kind, says=loss_words(x), clear=x.clear, harm=x.harm, minutes=x.minutes, sound=x.sound
            )
            for x in planned.losses
        ],
        course=dict(link),
        risk=harm_words(score),
        work=". ".join(upper(t) for t in (work_words(score), cost_words(score)) if t) + ".",
        then=then_words(planned, plan.now, zone, facts),
    )


def _clear(score: Score, by: datetime) -> ClearRow | None:
    if score.clear is None:
        return None
    c = score.clear
    return ClearRow(
        goal=score.goal,
        by=by.isoformat(),
        low=c.low,
        value=c.value,
        high=c.high,
        source="none",
        status="computed",
    )


def _line(line: Line, facts: Facts) -> PlanLineRow:
    return PlanLineRow(
        what=line.what, about=line.about, who=line.who, line=line.line, unit=line.unit, low=line.low,
        value=line.chance, high=line.high, most=line.most, says=line_words(line, facts), source=line.source,
        status="computed",
    )  # fmt: skip


def _packet(packet: Packet, plan: Plan, facts: Facts) -> PacketRow:
    score = packet.planned.score if packet.planned else None
    return PacketRow(
        supply=packet.supply, says=packet_words(packet, plan, facts),
        clear=_clear(score, plan.by) if score else None, harm=score.harm if score else None,
        days=score.days if score else None, refused=[r.because for r in packet.refused],
    )  # fmt: skip
