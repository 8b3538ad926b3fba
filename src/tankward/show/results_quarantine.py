"""Newcomers apart, as they leave."""

from __future__ import annotations

import msgspec

from tankward.quantities.working import Step

from .results import Result


class DayRow(msgspec.Struct, frozen=True, kw_only=True):
    """One thing of the plan by its day."""

    on: str
    says: str
    why: str
    done: bool


class WaterRow(msgspec.Struct, frozen=True, kw_only=True):
    """One ration and what it makes of the water, in mg/L as N; changes of half."""

    food_share: float
    volume_l: float
    rise_mg_l_day: float
    change_every_days: float
    nh3_n_mg_l: float
    days_to_bound: float | None
    bound_mg_l: float
    says: str
    how: list[Step]
    source: str
    status: str


class CommonRow(msgspec.Struct, frozen=True, kw_only=True):
    """What such fish commonly carry. `share` of those looked at; None: no figure was given."""

    cause: str
    group: str
    origin: str
    share: float | None
    low: float | None
    high: float | None
    n: int | None
    round_low_days: float | None
    round_high_days: float | None
    signs: list[str]
    says: str
    source: str
    status: str


class ArrivalRow(msgspec.Struct, frozen=True, kw_only=True):
    """What came from one source. `tank` "": into a tub of `least_l` or more."""

    origin: str
    who: str
    tank: str
    least_l: float | None
    days: float
    over: str
    open_until: str
    steps: list[DayRow]
    water: list[WaterRow]
    common: list[CommonRow]
    says: str
    source: str
    status: str


class ApartRow(msgspec.Struct, frozen=True, kw_only=True):
    """Those that are apart already."""

    tank: str
    stock: list[str]
    since: str
    restarted: str
    over: str
    open_until: str
    residents: list[str]
    steps: list[DayRow]
    says: str


class PlaceRow(msgspec.Struct, frozen=True, kw_only=True):
    """A tank as a place for newcomers. `why`: lives, course."""

    tank: str
    free: bool
    why: str


class QuarantineResult(Result, frozen=True, kw_only=True):
    """Newcomers that are to come, or are apart. `entries`: what was written down."""

    arrivals: list[ArrivalRow]
    apart: list[ApartRow]
    places: list[PlaceRow]
    set_up: list[str]
    without_a_sign: list[str]
    never: list[str]
    entries: list[str]
