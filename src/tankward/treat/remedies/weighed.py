"""A level weighed against those who meet it, and a packet's fixed ratio against all of its parts."""

from __future__ import annotations

from collections.abc import Sequence

from tankward.judge.limits import limits
from tankward.judge.verdicts import Verdict, judge_levels
from tankward.knowledge.records.substance import Regimen, Substance
from tankward.quantities.faults import Reason
from tankward.room.things import Stock
from tankward.treat.label_parts import per_unit

from .leach import leached_mg_l
from .levels import (
    Span,
    by_reading,
    hours_of_parts,
    own_span,
    spread,
    supply_of,
    with_rest,
    works_from,
)
from .ratio import packet_for
from .situation import Situation

LIMIT_ROUTE = {"water_long": "water", "water_bath": "bath", "dip": "bath", "heat": "heat", "feed": "water"}
DAY_H = 24.0


def levels_in(one: Substance, regimen: Regimen, situation: Situation, *, tub: bool) -> dict[str, Span]:
    """What it makes in the water where it is given, part by part; empty where it is not given by level."""
    if regimen.route not in LIMIT_ROUTE:
        return {}
    if one.parts:
        return _levels_of_parts(one, regimen, situation, tub=tub)
    if regimen.route == "feed":
        return _leached(one, regimen, situation)
    span = own_span(regimen, one) or by_reading(regimen, situation.water)
    if span is None:
        return {}
    volume = None if tub or regimen.unit == "C" else situation.volume_l
    found = {one.id: spread(span[1], volume)}
    return found if tub or regimen.unit == "C" else with_rest(found, situation.still_in)


def _leached(one: Substance, regimen: Regimen, situation: Situation) -> dict[str, Span]:
    """A day's food wholly leached, on top of what is still in."""
    grams = situation.water.fish_g if situation.water else None
    level = leached_mg_l(regimen, grams, situation.volume_l, situation.facts)
    if level is None:
        return {}
    return with_rest({one.id: spread(level, situation.volume_l)}, situation.still_in)


def _levels_of_parts(one: Substance, regimen: Regimen, situation: Situation, *, tub: bool) -> dict[str, Span]:
    """A combination at the lowest level at which each part works."""
    routes = (regimen.route,)
    least = {p: works_from(p, situation.causes, routes, situation.facts) for p in one.parts}
    found = {p: spread(x, None if tub else situation.volume_l) for p, x in least.items() if x is not None}
    return found if tub else with_rest(found, situation.still_in)


def judged(
    one: Substance,
    regimen: Regimen,
    levels: dict[str, Span],
    there: Sequence[Stock],
    situation: Situation,
    *,
    alone: bool,
) -> tuple[Verdict, ...]:
    """What the level means for each of those who meet it."""
    if not levels:
        return ()
    hours = hours_of_parts(one, regimen, situation.causes, situation.facts)
    hours = DAY_H if regimen.route == "feed" else hours
    made = limits(
        one.id,
        there,
        situation.facts,
        route=LIMIT_ROUTE[regimen.route],
        hours=hours,
        not_there=("fry", "egg") if alone else situation.not_there,
        trials=situation.trials,
    )
    return judge_levels(made, levels, hours, situation.facts)


def fixed_ratio(
    one: Substance, regimen: Regimen, there: Sequence[Stock], situation: Situation
) -> tuple[Reason, ...]:
    """Rule 5: a packet of which no number lets every part work and stay under every limit."""
    supply = supply_of(one, situation.shelf)
    if not one.parts or supply is None or situation.volume_l is None or regimen.route != "water_long":
        return ()
    hours = hours_of_parts(one, regimen, situation.causes, situation.facts)
    made = limits(one.id, there, situation.facts, hours=hours, not_there=situation.not_there)
    held = {d.substance: d.amount for d in per_unit(supply, situation.facts)}
    volume = situation.volume_l.value
    found = packet_for(held, volume, one, regimen, situation.causes, made, situation.facts)
    return () if found.reason is None else (found.reason,)
