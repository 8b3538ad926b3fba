"""The keeper's kit as a result."""

from __future__ import annotations

import msgspec

from .results_room import Lines


class KitThing(msgspec.Struct, frozen=True, kw_only=True):
    """One thing to measure with: a scale by its step, a spoon by what it holds, the hose by its flow."""

    what: str  # scale, syringe, bucket, hose, spoon, test
    name: str = ""
    of: str = ""  # the powder of a spoon; "" where it was never weighed
    value: float | None = None
    low: float | None = None
    high: float | None = None
    unit: str = ""
    source: str = "none"
    status: str = "as-said"  # "computed" from what the keeper weighed or timed


class KitShown(Lines, frozen=True, kw_only=True):
    """What the keeper measures with; what is not in the list is not told, never nothing."""

    things: list[KitThing]
    hours: str
    region: str
