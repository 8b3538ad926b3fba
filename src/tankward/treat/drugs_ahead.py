"""Each medicine in water and fish: when it falls under what works, and under what bothers somebody."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Literal

import msgspec

from tankward.judge.limit import Limit
from tankward.judge.limits import limits
from tankward.judge.trials import trials_of
from tankward.knowledge.known import Facts
from tankward.model.bands import band
from tankward.model.falling import Fall, falls, levels_of, row_now
from tankward.model.result import Forecast, Series
from tankward.quantities.parse import Estimate
from tankward.room.replay import Room

from .medicine import is_medicine
from .remedies.levels import aimed_rows, own_span

Where = Literal["water", "fish"]
TRACE = 0.01  # of a level that once stood; less is nothing to tell of [our own choice]


class Line(msgspec.Struct, frozen=True, kw_only=True):
    """A level that matters, whose it is, and how the forecast stands to it."""

    level: float
    unit: str
    who: tuple[str, ...] = ()
    source: str
    status: str
    fall: Fall


class Drug(msgspec.Struct, frozen=True, kw_only=True):
    """A medicine in one place. `works`: the least published level that works; `bothers`: the most that the
    most tender animal here is taken to bear. None: nobody knows one. `never`: who is taken to bear none of
    it; `unknown`: of whom nobody knows what they bear.
    """

    substance: str
    where: Where
    unit: str
    now: Estimate
    works: Line | None = None
    bothers: Line | None = None
    never: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


def drugs_ahead(found: Forecast, room: Room, causes: Collection[str], facts: Facts) -> tuple[Drug, ...]:
    """The medicines of a forecast, in its order.

    Parameters
    ----------
    found : Forecast
        Of a tank of the room.
    room : Room
        Who lives there, and what a jar told of them.
    causes : collection of str
        What is treated or suspected: what works is taken of these, of any where nothing is known of these.
    facts : Facts
        The facts.
    """
    return tuple(_drug(s, found, room, causes, facts) for s in found.series if _worth(s, found, facts))


def _worth(series: Series, found: Forecast, facts: Facts) -> bool:
    """A medicine of which more than a trace is there, or comes."""
    if series.kind not in ("substance", "in_fish") or not is_medicine(series.name, facts):
        return False
    ahead = levels_of(found, series.name, series.where)[row_now(found) :]
    return bool(ahead.max() > TRACE * max(series.value, default=0.0))


def _drug(series: Series, found: Forecast, room: Room, causes: Collection[str], facts: Facts) -> Drug:
    where: Where = "fish" if series.kind == "in_fish" else "water"
    here = band(levels_of(found, series.name, where)[row_now(found)], found.weights)
    if where == "fish":  # what of it in a fish works or harms is measured for no kind kept here
        return Drug(substance=series.name, where=where, unit=series.unit, now=here)
    borne = [x for x in _limits(series.name, room, found.tank, facts) if x.kind_of != "plant"]
    least = [x for x in borne if x.level is not None and x.presumed != "egg"]
    never = [x for x in least if x.level == 0.0]
    return Drug(
        substance=series.name,
        where=where,
        unit=series.unit,
        now=here,
        works=_works(series, found, causes, facts),
        bothers=_bothers(series, found, [x for x in least if x.level]),
        never=_names(never),
        unknown=_names([x for x in borne if x.level is None]),
    )


def _limits(substance: str, room: Room, tank: str, facts: Facts) -> Sequence[Limit]:
    return limits(substance, room.stock_of(tank), facts, trials=trials_of(room, tank))


def _names(of: Sequence[Limit]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(x.who for x in of))


def _bothers(series: Series, found: Forecast, of: Sequence[Limit]) -> Line | None:
    if not of:
        return None
    first = min(of, key=lambda x: x.level or 0.0)
    assert first.level is not None
    return Line(
        level=first.level, unit=series.unit, who=_names([x for x in of if x.level == first.level]),
        source=first.source, status=first.status, fall=falls(found, series.name, first.level),
    )  # fmt: skip


def _works(series: Series, found: Forecast, causes: Collection[str], facts: Facts) -> Line | None:
    least = works_from(series.name, causes, facts)
    if least is None:
        return None
    level, source, status = least
    return Line(
        level=level, unit=series.unit, source=source, status=status, fall=falls(found, series.name, level)
    )


def works_from(substance: str, causes: Collection[str], facts: Facts) -> tuple[float, str, str] | None:
    """The lowest recommended level left in the water, with source and status: for one of these causes, else
    for any. None where none is known. [own unit]
    """
    if substance not in facts.substances:
        return None
    rows = aimed_rows(substance, tuple(causes), ("water_long",), facts)
    spans = ((own_span(r, facts.substances[substance]), r) for r in rows)
    return min(((s[0], r.source, r.status) for s, r in spans if s is not None), default=None)
