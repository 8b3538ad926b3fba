"""The forecast as an answer: every line with its unit, its kind and where its parameters come from."""

from __future__ import annotations

import msgspec

from .results import Result


class SeriesRow(msgspec.Struct, frozen=True, kw_only=True):
    """One line with its bands over `times`; null before an organism is followed."""

    name: str
    where: str
    unit: str
    low: list[float | None]
    value: list[float | None]
    high: list[float | None]
    source: str
    status: str


class ChanceRow(msgspec.Struct, frozen=True, kw_only=True):
    """A chance over the days to come, over the weighted draws. `low` and `high`: that a limit is passed, its
    sampling range; that an organism is gone, the 5th and 95th centile of what the draws give.

    Of an organism: its id, `days` from now, and for what the chance is good in `holds`: cautious-bound,
    while-few, never-gone (then it is the chance that no fish is ill).
    """

    what: str
    by: str
    low: float
    value: float
    high: float
    limit: float | None
    unit: str
    source: str
    status: str
    says: str = ""
    organism: str = ""
    days: float | None = None
    holds: str = ""


class ExtremeRow(msgspec.Struct, frozen=True, kw_only=True):
    """The highest or lowest to come."""

    name: str
    kind: str
    says: str
    low: float
    value: float
    high: float
    at_h: float
    unit: str
    source: str
    status: str


class RangeRow(msgspec.Struct, frozen=True, kw_only=True):
    """A number with its 5th and 95th centile; `days` from now for a chance that it is gone."""

    low: float
    value: float
    high: float
    unit: str
    days: float | None = None
    source: str = "none"
    status: str = "computed"


class ToldRow(msgspec.Struct, frozen=True, kw_only=True):
    """One look, or the deaths. `more`, `fewer`: chance of as much or more, as much or less, by what was told
    before; `off`: "more" or "fewer" than the organism explains, or "".
    """

    at: str
    sign: str
    low: int
    high: int
    of: int | None
    more: float
    fewer: float
    off: str
    source: str = "none"
    status: str = "computed"


class TaughtRow(msgspec.Struct, frozen=True, kw_only=True):
    """What the looks changed. `growth` [ln/d]; `slower`: chance that it grows more slowly than usual.

    `power`: the counts count with this power, 1 = in full; `draws`: how many of `of` carry the weight.
    """

    growth_before: RangeRow
    growth: RangeRow
    slower: float
    gone_before: list[RangeRow]
    gone: list[RangeRow]
    looks: list[ToldRow]
    fits: bool
    power: float
    draws: float
    of: int
    says: list[str]
    source: str = "none"
    status: str = "computed"


class SuspectRow(msgspec.Struct, frozen=True, kw_only=True):
    """An organism, followed as if it were the one. `holds`: cautious-bound, while-few, never-gone."""

    organism: str
    cause: str
    likely: float | None
    since_h: float
    counted: bool
    holds: str
    says: list[str]
    withheld: list[str]
    taught: TaughtRow | None = None
    source: str = "none"
    status: str = "computed"


class WhenRow(msgspec.Struct, frozen=True, kw_only=True):
    """Hours from now and instants, 5th, 50th and 95th centile; null: not before the forecast ends."""

    low_h: float | None
    value_h: float | None
    high_h: float | None
    low_at: str | None
    value_at: str | None
    high_at: str | None


class LineRow(msgspec.Struct, frozen=True, kw_only=True):
    """A level that matters. `over_now`, `over_at_end`: the chance that the level is not under it then.

    `first`: under it for the first time; `last`: from then on to the end, with what is planned.
    """

    level: float
    unit: str
    who: list[str]
    over_now: float
    over_at_end: float
    first: WhenRow
    last: WhenRow
    source: str
    status: str


class DrugRow(msgspec.Struct, frozen=True, kw_only=True):
    """A medicine in the water or in the fish. `works`: the least level that works; `bothers`: what the most
    tender animal here is taken to bear; null: nobody knows one. `never`: who is taken to bear none;
    `unknown`: of whom it isn't known.
    """

    substance: str
    where: str
    unit: str
    low: float
    value: float
    high: float
    works: LineRow | None
    bothers: LineRow | None
    never: list[str]
    unknown: list[str]
    says: list[str]
    source: str = "none"
    status: str = "computed"


class FigureRow(msgspec.Struct, frozen=True, kw_only=True):
    """A figure with its range."""

    low: float
    value: float
    high: float


class MovedRow(msgspec.Struct, frozen=True, kw_only=True):
    """One extreme without what was read today, and with it. `kind`: peak or least."""

    name: str
    kind: str
    unit: str
    before: FigureRow
    after: FigureRow
    matters: bool
    source: str = "none"
    status: str = "computed"


class LearnedRow(msgspec.Struct, frozen=True, kw_only=True):
    """What today's readings changed. `fits`: all that was entered fits together; `draws`: how many
    of the draws carry the weight.
    """

    read: list[str]
    moved: list[MovedRow]
    fits: bool
    draws: float
    says: list[str]
    source: str = "none"
    status: str = "computed"


class ForecastResult(Result, frozen=True, kw_only=True):
    """What comes. `missing`: what isn't known, each with what that makes of the answer."""

    tank: str
    start: str
    times: list[float]
    series: list[SeriesRow]
    chances: list[ChanceRow]
    extremes: list[ExtremeRow]
    suspects: list[SuspectRow] = []
    drugs: list[DrugRow] = []
    learned: LearnedRow | None = None
    missing: list[str] = []
