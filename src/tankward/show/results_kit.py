"""The keeper's kit as a result."""

from __future__ import annotations

import msgspec

from .results_room import Lines


class SpoonRow(msgspec.Struct, frozen=True, kw_only=True):
    """One level spoon of one powder. [g]"""

    spoon: str
    volume_ml: float | None
    powder: str  # "" where it was never weighed
    grams: float | None
    low: float | None
    high: float | None


class KitShown(Lines, frozen=True, kw_only=True):
    """What the keeper measures with; None and empty lists are not told, never nothing."""

    scale_g: float | None
    syringes_ml: list[float]
    buckets_l: list[float]
    tests: list[str]
    hose_l_per_min: float | None
    hose_low: float | None
    hose_high: float | None
    spoons: list[SpoonRow]
    hours: str
    region: str
