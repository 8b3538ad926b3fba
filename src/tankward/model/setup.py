"""A body of water as the model needs it told: how much, how warm, who lives there, what is in it."""

from __future__ import annotations

import msgspec

from tankward.quantities.parse import Estimate

from .living import Living


class Setup(msgspec.Struct, frozen=True, kw_only=True):
    """One body of water at the beginning of a run. None and "" are "not known", never zero."""

    volume_l: Estimate
    temp_c: Estimate | None = None
    ph: Estimate | None = None
    alkalinity: Estimate | None = None  # mg/L as CaCO3; with pH it lets pH move
    living: Living | None = None
    filter: str = ""  # sponge, box, canister, internal, none
    filter_age_d: float | None = None  # at the beginning
    filter_seeded: bool = False
    air: bool | None = None
    heater: bool | None = None
    light_h: float | None = None
    depth_cm: float | None = None
    glass_cm2: float | None = None  # walls, floor and top, through which heat goes
    food_g: float | None = None  # a day, where it was weighed
    feed: float = 1.0  # of the usual ration
    # At the beginning: substances by id, and ammonia_n, nitrite_n, nitrate_n, oxygen.
    levels: dict[str, Estimate] = {}
    met: tuple[str, ...] = ()  # substances that the filter met within the last weeks, before the beginning
    tap: dict[str, Estimate] = {}  # what new water brings: ammonia_n, nitrite_n, nitrate_n, alkalinity, ph
    tap_chloramine: bool = False
    # By the keeper's top-ups; None: the water line is taken as kept. Days for which it had been falling.
    evaporates_l_d: Estimate | None = None
    falling_d: float = 0.0
    surface_cm2: float | None = None  # of the water
