"""What a regimen makes in the water, part by part, in the unit in which its limits are made."""

from __future__ import annotations

from collections.abc import Mapping

from tankward.judge.figures import level_in
from tankward.judge.waterstate import WaterState
from tankward.knowledge.known import Facts
from tankward.knowledge.records.substance import Regimen, Substance
from tankward.quantities.parse import Estimate
from tankward.room.things import Supply
from tankward.water.chloride import salt_for_nitrite_mg_l
from tankward.water.nitrogen import nitrite_ion

from .records import Level

Span = tuple[float, float, float]  # low, value, high
LEFT_IN_H = 96.0  # what is left in is judged as a toxicity test of the usual length
CHLORIDE_PER_NITRITE = "mg chloride per mg nitrite"
DEFAULT_H = {"water_bath": 1.0, "dip": 1.0}


def level_of(regimen: Regimen) -> Level | None:
    """The level as it was published; None where it has no number."""
    if regimen.low is None or regimen.high is None:
        return None
    return Level(
        low=regimen.low,
        high=regimen.high,
        unit=regimen.unit,
        basis=regimen.basis,
        source=regimen.source,
        status=regimen.status,
    )


def own_span(regimen: Regimen, substance: Substance) -> tuple[float, float] | None:
    """Low and high in the substance's own unit; None where it has no level in the water (a food, a ratio)."""
    if regimen.low is None or regimen.high is None:
        return None
    if regimen.unit == "C":
        return regimen.low, regimen.high
    ends = [level_in(x, regimen.unit, regimen.basis, substance) for x in (regimen.low, regimen.high)]
    return None if ends[0] is None or ends[1] is None else (ends[0], ends[1])


def by_reading(regimen: Regimen, water: WaterState | None) -> tuple[float, float] | None:
    """Salt against nitrite goes by the nitrite that was read: ratio of chloride to the ion. [mg/L]"""
    nitrite = water.of("nitrite_n") if water else None
    if regimen.unit != CHLORIDE_PER_NITRITE or nitrite is None or regimen.low is None:
        return None
    salt = float(salt_for_nitrite_mg_l(nitrite_ion(nitrite.value), 0.0, regimen.low))
    return (salt, salt) if salt > 0 else None


def hours_of(regimen: Regimen) -> float:
    """How long one application stands. [h]"""
    if regimen.left_in:
        return LEFT_IN_H
    return regimen.duration_h_high or DEFAULT_H.get(regimen.route, LEFT_IN_H)


def hours_of_parts(one: Substance, regimen: Regimen, causes: tuple[str, ...], facts: Facts) -> float:
    """How long one application stands; of a combination the longest that a part's own course stands. [h]"""
    rows = [r for p in one.parts for r in aimed_rows(p, causes, (regimen.route,), facts)]
    timed = [r.duration_h_high for r in rows if r.duration_h_high is not None]
    return max(timed, default=hours_of(regimen))


def aimed_rows(part: str, causes: tuple[str, ...], routes: tuple[str, ...], facts: Facts) -> list[Regimen]:
    """Recommended regimens of a substance by these routes that treat a cause; all where none does."""
    rows = [r for r in facts.substances[part].regimen if r.recommended and r.route in routes and r.treats]
    return [r for r in rows if set(r.treats) & set(causes)] or rows


def spread(level: float, volume_l: Estimate | None) -> Span:
    """A level with what the range of the volume makes of it."""
    if volume_l is None or not volume_l.ranged:
        return level, level, level
    v = volume_l
    return level * v.value / v.high, level, level * v.value / v.low


def with_rest(spans: Mapping[str, Span], still_in: Mapping[str, float]) -> dict[str, Span]:
    """Levels together with what is left of earlier doses: every dose still in the water counts."""
    return {p: (a + (rest := still_in.get(p, 0.0)), b + rest, c + rest) for p, (a, b, c) in spans.items()}


def works_from(part: str, causes: tuple[str, ...], routes: tuple[str, ...], facts: Facts) -> float | None:
    """The lowest recommended level of a substance, for one of the causes if there is one. [own unit]"""
    one = facts.substances[part]
    spans = (own_span(r, one) for r in aimed_rows(part, causes, routes, facts))
    return min((span[0] for span in spans if span is not None), default=None)


def supply_of(substance: Substance, shelf: tuple[Supply, ...]) -> Supply | None:
    """A supply on the shelf whose actives are just the substance, or all parts of the combination."""
    wanted = set(substance.parts or (substance.id,))
    exact = (s for s in shelf if not s.unknown and {a.substance for a in s.actives} == wanted)
    return next(exact, None)
