"""Heat as a remedy: up by a degree or two a day, held, and down again."""

from __future__ import annotations

import math
from datetime import datetime, timedelta

from tankward.knowledge.known import Facts
from tankward.knowledge.records.substance import Regimen
from tankward.quantities.faults import BadInput, Reason
from tankward.quantities.working import Answer, Working, answer
from tankward.room.acts import Heat
from tankward.room.time import add_hours

from .asked import Asked
from .choice import refuse
from .dates import by_regimen
from .finish import finished
from .records import Course
from .steps import Steps, air_and_calm, exactly, read_water

DAY_H = 24.0


def heat_course(asked: Asked) -> Course:
    """The heater set in daily steps to a published warmth.

    Raises
    ------
    BadInput
        If the warmth is not known or no warmth was published.
    Refused
        If more was asked for than was ever recommended.
    """
    regimen, now_c = asked.chosen.regimen, asked.request.temp_c
    if now_c is None:
        raise BadInput("temp", "", "is not known: read the temperature first.")
    if regimen.low is None or regimen.high is None:
        raise BadInput("regimen", regimen.id, "has no published warmth.")
    target = regimen.low if asked.level is None else asked.level
    refuse(_too_warm(target, regimen.high, regimen.source, regimen.status))
    steps = Steps(asked.key, asked.facts, asked.chosen.option.people)
    read_water(steps, asked.start)
    air_and_calm(steps, asked.start, dark=False)
    up = ramp(steps, asked.facts, asked.start, now_c.value, target, regimen)
    timing = by_regimen(regimen)
    held = add_hours(up, timing.stand_h)
    ends = ramp(steps, asked.facts, held, target, now_c.value, regimen)
    return finished(
        asked, steps, ends, timing=timing, volume_l=asked.request.volume_l, level=_answer(target, regimen),
        bears=asked.chosen.option.bears,
    )  # fmt: skip


def _too_warm(target: float, highest: float, source: str, status: str) -> tuple[Reason, ...]:
    if target <= highest:
        return ()
    return (
        Reason(
            kind="over-published",
            because=f"Nobody recommends more than {highest:g} °C.",
            would_change=f"{highest:g} °C or less",
            source=source,
            status=status,
        ),
    )


def a_day_c(facts: Facts) -> float:
    """How far the warmth is moved in a day. [°C]"""
    row = next(r for r in facts.hygiene.change_limit if r.id == "t_day")
    low, high = row.span or (1.0, 3.0)
    return (low + high) / 2


def ramp(
    steps: Steps, facts: Facts, start: datetime, from_c: float, to_c: float, regimen: Regimen | None = None
) -> datetime:
    """Daily steps; the day on which the last is set."""
    row = next(r for r in facts.hygiene.change_limit if r.id == "t_day")
    a_day = a_day_c(facts)
    days = max(1, math.ceil(abs(to_c - from_c) / a_day - 1e-9))
    for day in range(days):
        at = start + timedelta(days=day)
        warm = from_c + (to_c - from_c) * (day + 1) / days
        values = {"a day": exactly(a_day, row.unit, row.source, row.status)}
        steps.add(at, "heat", Heat(temp_c=round(warm, 1)), values=dict(values), amount=_answer(warm, regimen))
    return start + timedelta(days=days - 1)


def _answer(warm: float, regimen: Regimen | None) -> Answer:
    work = Working()
    if regimen is not None:
        work.step(
            "warmth", "published", regimen.low or warm, "C", source=regimen.source, status=regimen.status
        )
    work.step("today", "up or down by what they bear in a day", warm, "C")
    return answer(warm, "C", work, says="{shown}.")
