"""Which facts the model draws from, in one place: defaults of a tank, nitrifiers, losses and effects of
substances.
"""

from __future__ import annotations

from statistics import median

import msgspec
import numpy as np

from tankward.knowledge.known import Facts
from tankward.knowledge.losing import effect_word
from tankward.knowledge.records.base import Drawn
from tankward.knowledge.records.substance import Loss, Substance
from tankward.quantities.faults import BadInput

from .standing import Rules

DAY_MIN = 1440
TO_MG_L = {"mg/L": 1.0, "g/L": 1000.0, "ug/L": 1e-3, "uL/L": 1.0}  # µL/L stays µL/L: formalin counts so
NOT_DISSOLVED = frozenset({"filter medium", "physical"})


class SubstanceRows(msgspec.Struct, frozen=True, kw_only=True):
    """What a substance needs to be run: losses, effects, its usual level."""

    id: str
    unit: str  # mg/L, or µL/L where it is dosed by volume
    loss: Loss
    generic: bool  # no loss of its own was found
    filter: Drawn
    plants: Drawn
    oxygen: Drawn
    oxygen_by: str  # "usual": at the usual level; "amount": for each unit of amount
    usual: float | None  # level, in `unit`


def row(facts: Facts, fact: str) -> Drawn:
    """A fact that is drawn: a default of a tank, or a figure about water with its range."""
    if fact in facts.tank:
        return facts.tank[fact]
    for figure in facts.water.fact:
        if figure.id == fact and figure.span is not None:
            low, high = figure.span
            return Drawn(low=low, high=high, unit=figure.unit, source=figure.source, status=figure.status)
    raise BadInput("fact", fact, "is no fact that can be drawn")


GUILDS, BREATH = "nit.temp", "o2.fish"  # equations of the water that were fitted over a span of warmth


def valid_c(facts: Facts, equation: str) -> tuple[float, float]:
    """From the coldest to the warmest for which an equation of the water holds. [°C]"""
    found = next(e.valid_c for e in facts.water.equation if e.id == equation)
    if found is None:
        raise BadInput("equation", equation, "does not say for which warmth it holds")
    return found


def rules(facts: Facts) -> Rules:
    """Spans of time from the facts, in minutes."""
    return Rules(
        carbon_fresh=round(facts.tank["carbon_fresh"].low * DAY_MIN),
        carbon_spent=round(facts.tank["carbon_spent"].low * DAY_MIN),
        filter_remembers=round(facts.tank["filter_remembers"].low * DAY_MIN),
        same_dose=round(facts.tank["same_dose"].low * 60),
    )


def dissolved(facts: Facts, substance: str) -> bool:
    """Whether it goes into the water as one substance with a level of its own."""
    found = facts.substances.get(substance)
    return found is not None and not found.parts and found.kind not in NOT_DISSOLVED


def substance_rows(facts: Facts, substance: str) -> SubstanceRows:
    """Everything the model draws about one substance.

    Raises
    ------
    BadInput
        If it is unknown, a combination (its parts go in one by one), or not something that dissolves.
    """
    if substance not in facts.substances:
        raise BadInput("substance", substance, "is no substance of the facts")
    if not dissolved(facts, substance):
        raise BadInput("substance", substance, "has no level in the water of its own")
    found = facts.substances[substance]
    per_ul = "formalin_oxygen_per_ul"
    by_amount = substance == "formalin" and per_ul in facts.tank
    return SubstanceRows(
        id=substance,
        unit=unit_of(found),
        loss=found.loss or generic_loss(facts),
        generic=found.loss is None,
        filter=facts.filter_effects[effect_word(facts, substance, "filter")],
        plants=facts.filter_effects[effect_word(facts, substance, "plants")],
        oxygen=facts.tank[per_ul]
        if by_amount
        else facts.oxygen_effects[effect_word(facts, substance, "oxygen")],
        oxygen_by="amount" if by_amount else "usual",
        usual=usual_level(found),
    )


def unit_of(substance: Substance) -> str:
    """The unit of its level: µL/L where it is dosed as a liquid, else mg/L."""
    return "uL/L" if substance.dose_as.startswith("uL") else "mg/L"


def generic_loss(facts: Facts) -> Loss:
    """Wide half-lives for a substance of which none was found."""
    t = facts.tank
    return Loss(
        dark=t["loss_dark"],
        light=t["loss_light"],
        filter_naive=t["loss_filter"],
        filter_used=t["loss_filter"],
        carbon=t["loss_carbon"],
        theta=t["loss_theta"],
    )


def usual_level(substance: Substance) -> float | None:
    """The middle of its recommended levels left in the water; of any level in water where none is
    recommended.
    """
    in_water = [r for r in substance.regimen if r.route in ("water_long", "water_bath")]
    best = [r for r in in_water if r.route == "water_long" and r.recommended] or in_water
    levels = [
        float(np.sqrt(r.low * r.high)) * TO_MG_L[r.unit]
        for r in best
        if r.low and r.high and r.unit in TO_MG_L and "per 1" not in r.basis
    ]
    return median(levels) if levels else None
