"""What the water says about the past and the state of a tank."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from .choices import SOFT_CONDUCTIVITY, SOFT_KH
from .evidence import Happened
from .finding import Finding
from .water_findings import by_kind, fresh
from .waterstate import WaterState

MG_IN_G = 1000.0


def of_water(state: WaterState, found: Sequence[Finding]) -> Iterator[Happened]:
    """Warm, cool, soft, salted, crowded: what a cause needs or does not stand."""
    temp_c, kh, conductivity, salt = (fresh(state.of(q)) for q in ("temp_c", "kh", "conductivity", "salt"))
    if temp_c is not None:
        yield Happened(context="warm", value=temp_c.value)
        yield Happened(context="cool", value=temp_c.value)
    if kh is not None or conductivity is not None:
        soft = kh is not None and kh.value < SOFT_KH.value
        soft = soft or (conductivity is not None and conductivity.value < SOFT_CONDUCTIVITY.value)
        yield Happened(context="soft_water", true=soft)
    if salt is not None:
        yield Happened(context="salt", value=salt.value / MG_IN_G)
    crowding = by_kind(found, "crowding")
    if crowding is not None:
        yield Happened(context="crowding", true=crowding.severity == "caution")
    nitrate = by_kind(found, "nitrate_chronic")
    if nitrate is not None and nitrate.severity == "caution":
        yield Happened(context="dirt")
