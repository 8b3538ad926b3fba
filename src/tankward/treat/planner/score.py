"""What a course is worth: chance of its goal, chances of harm, days, minutes, cost."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

import msgspec
import numpy as np
from numpy.typing import NDArray

from tankward.judge.choices import NH3_CARE, NITRITE_CARE, OXYGEN_CARE, PH_LOW, Choice
from tankward.judge.limit import Limit
from tankward.knowledge.known import Facts
from tankward.model.bands import centiles, effective
from tankward.model.rows import Array
from tankward.quantities.parse import Estimate
from tankward.room.acts import (
    AnyAct,
    Apart,
    Bath,
    Change,
    Clean,
    Dose,
    Feed,
    Heat,
    Media,
    Move,
    Siphon,
    Transfer,
)
from tankward.room.things import Supply
from tankward.treat.course.chances import counted, refused_from
from tankward.treat.course.records import Course
from tankward.treat.medicine import is_medicine
from tankward.treat.remedies.labour import CHANGE, FEED_DAY, MOVE, ONE
from tankward.treat.remedies.records import Option

from .records import Goal, Line, Score, What, Wishes

# Minutes of one act, low and high; what is done together is counted each. [common practice, our own choice]
SIPHON, MEDIA, HEAT = (5.0, 15.0), (2.0, 5.0), (1.0, 3.0)
SMALL, SMALL_SHARE = (8.0, 15.0), 0.2  # a change of a fifth or less
NO_WORSE = 0.002  # so much more than with nothing done is no worse [our own choice]
SAME = 1.0 + 1e-9  # a level at its line is not over it
Mask = NDArray[np.bool_]
WATER: tuple[tuple[What, str, Choice, bool], ...] = (
    ("nh3", "nh3_n", NH3_CARE, True),
    ("nitrite", "nitrite_n", NITRITE_CARE, True),
    ("oxygen", "oxygen", OXYGEN_CARE, False),
    ("ph", "ph", PH_LOW, False),
)


class Top(msgspec.Struct, frozen=True, kw_only=True):
    """A level of a substance that must not be passed, and for whom."""

    part: str
    who: str
    line: float
    unit: str
    source: str = "none"


class Seen(msgspec.Struct, frozen=True, kw_only=True):
    """A course as the model saw it: per draw the peaks, the lowest levels, and the chance of the goal."""

    peaks: Mapping[str, Array]
    lowest: Mapping[str, Array]
    goal: Goal
    clear: Array | None
    weights: Array
    clear_weights: Array  # by what looks told of the organism too


def scored(
    seen: Seen,
    tops: Sequence[Top],
    wishes: Wishes,
    *,
    days: float,
    minutes: tuple[float, float],
    cost: float | None,
    alone: Mapping[str, float] = {},
    harm_alone: float = 0.0,
) -> Score:
    """Many draws into the few numbers by which courses are compared."""
    weights = seen.weights / seen.weights.sum()
    worth = effective(weights)
    lines: list[Line] = []
    harmed = np.zeros(weights.size, bool)
    for kept in _kept(seen, tops):
        chance, own = float(weights[kept.passed].sum()), alone.get(kept.about, 0.0)
        harmed |= kept.passed
        low, high = counted(min(chance, 1.0), worth)
        lines.append(
            Line(
                what=kept.what,
                about=kept.about,
                who=kept.who,
                line=kept.line,
                unit=kept.unit,
                chance=chance,
                low=low,
                high=high,
                most=wishes.most_of(kept.what, own + NO_WORSE if own else 0.0),
                alone=own,
                reaches=_span(kept.reached, weights),
                source=kept.source,
            )
        )
    return Score(
        goal=seen.goal, clear=_chance(seen.clear, seen.clear_weights), lines=tuple(lines),
        harm=float(weights[harmed].sum()), days=days, minutes=minutes, cost=cost, draws=weights.size,
        harm_alone=harm_alone,
    )  # fmt: skip


class _Kept(NamedTuple):
    """A line, what each draw reaches, and which draws pass it."""

    what: What
    about: str
    who: str
    line: float
    unit: str
    source: str
    reached: Array
    passed: Mask


def _kept(seen: Seen, tops: Sequence[Top]) -> Iterable[_Kept]:
    for top in tops:
        if top.part in seen.peaks:
            peak = seen.peaks[top.part]
            yield _Kept(
                "over-limit", top.part, top.who, top.line, top.unit, top.source, peak, peak > top.line * SAME
            )
    for what, name, choice, above in WATER:
        if name in seen.peaks:
            reached = seen.peaks[name] if above else seen.lowest[name]
            passed = reached > choice.value if above else reached < choice.value
            yield _Kept(what, name, "", choice.value, choice.unit, choice.source, reached, passed)


def _span(reached: Array, weights: Array) -> Estimate:
    low, value, high = (float(x) for x in centiles(reached, weights, (0.05, 0.5, 0.95)))
    return Estimate(value, low, high)


def _chance(clear: Array | None, weights: Array) -> Estimate | None:
    if clear is None:
        return None
    low, high = (float(x) for x in centiles(clear, weights, (0.05, 0.95)))
    return Estimate(float(clear @ weights), low, high)


def minutes_of(acts: Iterable[tuple[datetime, AnyAct]], facts: Facts) -> tuple[float, float]:
    """The keeper's time for all of it, low and high. [min]"""
    rows = [_minutes(act, facts) for _, act in acts]
    return sum(low for low, _ in rows), sum(high for _, high in rows)


def minutes_of_course(course: Course, facts: Facts) -> tuple[float, float]:
    """The same of a course; in a tub a change is a small one, and somebody feeds and looks there each day."""
    rows = [_small(s.act, facts) if s.tub else _minutes(s.act, facts) for s in course.steps]
    return sum(low for low, _ in rows), sum(high for _, high in rows)


def _small(act: AnyAct, facts: Facts) -> tuple[float, float]:
    return SMALL if isinstance(act, Change) else FEED_DAY if isinstance(act, Feed) else _minutes(act, facts)


def _minutes(act: AnyAct, facts: Facts) -> tuple[float, float]:
    match act:
        case Dose():
            return ONE["water_long"] if any(is_medicine(s, facts) for s in act.actives) else (0.0, 0.0)
        case Change():
            return SMALL if act.share <= SMALL_SHARE else CHANGE
        case Siphon() | Clean():
            return SIPHON
        case Feed():
            return FEED_DAY if act.actives_mg_per_g else (0.0, 0.0)
        case Heat():
            return HEAT
        case Bath():
            return ONE["water_bath"][0] + act.minutes, ONE["water_bath"][1] + act.minutes
        case Media():
            return MEDIA
        case Move() | Apart() | Transfer():
            return MOVE
    return 0.0, 0.0


def cost_of(units: float | None, supply: Supply | None) -> float | None:
    """What the packets cost; None where nobody wrote a price down, or no packet is on the shelf."""
    return None if units is None or supply is None or supply.price is None else units * supply.price


def days_from(now: datetime, ends: datetime) -> float:
    """[d]"""
    return (ends - now) / timedelta(days=1)


def tops_of(limits: Iterable[Limit], substance: str, facts: Facts) -> tuple[Top, ...]:
    """Of each active the level at which an inhabitant is refused, and the ceiling."""
    found = []
    for limit in limits:
        line = refused_from(limit)
        if line is not None:
            found.append(Top(part=limit.part, who=limit.who, line=line, unit=limit.unit, source=limit.source))
    for part in dict.fromkeys(t.part for t in found) or (substance,):
        for row in facts.substances[part].ceiling if part in facts.substances else ():
            found.append(Top(part=part, who="", line=row.refuse_above, unit=row.unit, source=row.source))
    return tuple(found)


def tops_of_option(option: Option, facts: Facts) -> tuple[Top, ...]:
    """The same for a remedy that is open."""
    return tops_of((v.limit for v in option.bears), option.substance, facts)
