"""A course put together: the day of decision, the looks after it, the statement, how often it was given."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from msgspec.structs import replace

from tankward.judge.conditions import asks_people
from tankward.judge.progress import decide_on
from tankward.quantities.faults import Reason
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer
from tankward.treat.amounts.net_bath import germ_of, net_plan

from .asked import Asked
from .care import lay_care
from .choice import Chosen
from .dates import MOST_ROUNDS, Timing
from .records import Course, Rounds, Statement, Valued, Watch
from .request import CourseRequest
from .steps import Steps, decide, exactly, look
from .watching import watches


def finished(
    asked: Asked,
    steps: Steps,
    ends: datetime,
    *,
    timing: Timing,
    volume_l: Estimate | None,
    level: Answer | None,
    more: Sequence[Reason] = (),
    jar_trial: bool = False,
    **fields: Any,
) -> Course:
    """The course, with the day on which it can be decided and how long each organism is looked for."""
    request, chosen = asked.request, asked.chosen
    lay_care(asked, steps, ends)
    # Of a packet without named actives nobody knows what it reaches or harms.
    option = (
        replace(chosen.option, cautions=(), reaches=(), not_reached=()) if asked.unnamed else chosen.option
    )
    on = decide_on(asked.start, ends)
    watched = watches(chosen.situation.causes, ends, request.temp_c, asked.facts)
    decide(steps, on, {"rounds": exactly(float(timing.doses)), "ends": ends.isoformat()})
    for row in watched:
        look(steps, row.until, watched_values(row))
    return Course(
        key=steps.key,
        tank=request.tank.id,
        substance=chosen.one.id,
        route=chosen.regimen.route,
        place=option.place,
        regimen=chosen.regimen,
        supply=chosen.supply.id if chosen.supply else "",
        permission=chosen.allowed,
        statement=statement(chosen),
        answers=request.people if asks_people(chosen.one.id, asked.facts) else None,
        causes=chosen.situation.causes,
        start=asked.start,
        ends=ends,
        decide_on=on,
        volume_l=volume_l,
        level=level,
        steps=steps.done(),
        rounds=rounds(request, chosen, timing),
        reaches=option.reaches,
        not_reached=option.not_reached,
        leaves=option.leaves,
        cautions=tuple(dict.fromkeys((*option.cautions, *more))),
        jar_trial=option.jar_trial or jar_trial,
        watch=watched,
        people=option.people,
        net=net_plan(_germ(chosen), asked.facts, BLEACH_MG_L),
        **fields,
    )


BLEACH_MG_L = 50_000.0  # household bleach of 5 % [common practice]


def _germ(chosen: Chosen) -> str:
    """The hardest germ that is still open: what it is for, and the likely causes it leaves (rule 24)."""
    return germ_of((*chosen.situation.causes, *(left.cause for left in chosen.option.leaves)))


def watched_values(row: Watch) -> dict[str, Valued | str]:
    """How long an organism is looked for, for the sentence."""
    days = Valued(
        value=row.high_d, low=row.low_d, high=row.high_d, unit="d", source=row.source, status=row.status
    )
    return {"organism": row.organism, "days": days}


def statement(chosen: Chosen) -> Statement | None:
    """What the keeper stated, for every sheet, with its date and the region's lines."""
    if chosen.allowed.may != "held" or chosen.supply is None:
        return None
    return Statement(
        supply=chosen.supply.name,
        stated_on=chosen.allowed.stated_on,
        region=chosen.situation.region,
        law=chosen.allowed.law,
    )


def rounds(request: CourseRequest, chosen: Chosen, timing: Timing) -> Rounds:
    """How often it is given, was published, stands on the label, and was given before."""
    parts = {chosen.one.id, *chosen.one.parts}
    return Rounds(
        planned=timing.doses,
        published=timing.published,
        label=timing.label,
        most=MOST_ROUNDS,
        before=sum(b.substance in parts for b in request.before),
    )
