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
    source: str = "none"
    status: str = "computed"


class ForecastResult(Result, frozen=True, kw_only=True):
    """What comes."""

    tank: str
    start: str
    times: list[float]
    series: list[SeriesRow]
    chances: list[ChanceRow]
    extremes: list[ExtremeRow]
    suspects: list[SuspectRow] = []
