"""The forecast as an answer: every line with its unit, its kind and where its parameters come from."""

from __future__ import annotations

import msgspec

from .results import Result


class SeriesRow(msgspec.Struct, frozen=True, kw_only=True):
    """One line with its bands over `times`."""

    name: str
    where: str
    unit: str
    low: list[float]
    value: list[float]
    high: list[float]
    source: str
    status: str


class ChanceRow(msgspec.Struct, frozen=True, kw_only=True):
    """A chance over the days to come. Over the weighted draws; `low` and `high` are its sampling range."""

    what: str
    by: str
    low: float
    value: float
    high: float
    limit: float
    unit: str
    source: str
    status: str


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


class ForecastResult(Result, frozen=True, kw_only=True):
    """What comes."""

    tank: str
    start: str
    times: list[float]
    series: list[SeriesRow]
    chances: list[ChanceRow]
    extremes: list[ExtremeRow]
