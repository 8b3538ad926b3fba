"""A bath of so many minutes, with what stops it: `bath`."""

from __future__ import annotations

from typing import Annotated

from tankward.knowledge.loader import load
from tankward.knowledge.records.substance import Regimen, Substance
from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.digits import shown_range
from tankward.quantities.faults import BadInput
from tankward.quantities.units import unit_of
from tankward.quantities.working import Answer, Named, Working, answer

from ..dosing import dose_mg
from .asks import (
    WATER,
    LevelOrLiquid,
    Liquid,
    StrengthOrNot,
    SubstanceOrNot,
    Volume,
    active_of_liquid,
    judged_level,
    the,
)
from .dosing import products

BATHS = ("water_bath", "dip")
MIN_PER_H = 60.0
FIRST_TIME = 0.5  # safety rule 2: half of the published time the first time


@calculation("bath", unit="mg", formula="level × volume; minutes from the published bath", group=WATER)
def bath(
    volume: Volume,
    level: LevelOrLiquid = None,
    strength: StrengthOrNot = None,
    substance: SubstanceOrNot = None,
    minutes: Annotated[float | None, Ask("time", "how long the bath is meant to last", above=0)] = None,
    liquid: Liquid = None,
) -> Answer:
    """How much goes into a bath, for how long, and when to stop it."""
    if level is None and liquid is None:
        raise BadInput("level", "", "is missing. Write level=100 mg/L.")
    work = Working("only the water of the bath counts, not the tank's")
    one = the(substance)
    strong, dimension = (liquid, "volume_level") if level is None else (level, "level")
    judged_level(work, one, strong or 0.0, BATHS, dimension)
    if level is None:
        value, product = active_of_liquid(work, liquid or 0.0, volume, strength, one)
        also = [product]
    else:
        value = work.step("active", "level × volume", dose_mg(level, volume), "mg", inputs={"level": level})
        also = list(products(work, value, strength))
    also += _minutes(work, one, strong or 0.0, dimension, minutes)
    _stop_signs(work)
    return answer(
        value,
        "mg",
        work,
        also=tuple(also),
        says="{shown} of active in the bath; {time}.",
        time=also[-1].shown,
    )


def _minutes(
    work: Working, one: Substance | None, level: float, dimension: str, asked_h: float | None
) -> list[Named]:
    """How long: what was asked for, held against the published bath nearest in level."""
    row = None if one is None else nearest_bath(one, level, dimension)
    if row is None or row.duration_h_high is None:
        if asked_h is None:
            work.caution("No published time for this bath is known here: without one, do not use it.")
            return [Named(name="minutes", value=None, unit="min", shown="time not known")]
        work.caution("No published time for this bath is known here.")
        return [Named.of("minutes", asked_h * MIN_PER_H, "min")]
    low, high = (row.duration_h_low or row.duration_h_high) * MIN_PER_H, row.duration_h_high * MIN_PER_H
    work.step("published time", row.target, high, "min", source=row.source, status=row.status)
    work.caution(f"The first time, half of it: {shown_range(low * FIRST_TIME, high * FIRST_TIME, 'min')}.")
    if row.conditions:
        work.caution(f"Published for: {row.conditions}.")
    return [_named_minutes(work, asked_h, low, high)]


def _named_minutes(work: Working, asked_h: float | None, low: float, high: float) -> Named:
    if asked_h is not None and asked_h * MIN_PER_H > high * (1 + 1e-9):
        work.caution(f"Longer than the published {shown_range(low, high, 'min')}: take them out by then.")
    if asked_h is not None:
        return Named.of("minutes", asked_h * MIN_PER_H, "min")
    named = Named.of("minutes", high, "min", low, high)
    return Named(
        name=named.name, value=high, unit="min", low=low, high=high, shown=shown_range(low, high, "min")
    )


def nearest_bath(one: Substance, level: float, dimension: str) -> Regimen | None:
    """The recommended bath whose level lies nearest, in proportion."""
    rows = [(r, top) for r in one.regimen if (top := _top(r, dimension)) is not None]
    return min(rows, key=lambda pair: max(pair[1] / level, level / pair[1]), default=(None, 0.0))[0]


def _top(row: Regimen, dimension: str) -> float | None:
    unit = unit_of(row.unit, dimension)
    if not row.recommended or row.route not in BATHS or unit is None or not row.high:
        return None
    return float(row.high * unit.factor)


def _stop_signs(work: Working) -> None:
    """What stops a bath, as the facts word it."""
    for row in load().tables.practice:
        if row.phase == "during" and ("bath" in row.text or "Stop" in row.text):
            work.caution(f"{row.text}.")
