"""What an open tank loses to the air."""

from __future__ import annotations

from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.working import Answer, Named, Working, answer

from ..physics import ROOM_AIR_M_S, STILL_SHARE, evaporation_kg_h, humidity_ratio, vapour_pressure_kpa

FACTOR = 2.0  # either way: calibrate by the keeper's own top-up (ASHRAE98)
COVERED = (0.05, 0.2)  # share of it under a cover [common practice, no source]
CM2_PER_M2 = 10_000.0
HOURS = 24.0


@calculation(
    "evaporation",
    unit="L a day",
    formula="0.74 × (25 + 19 v) × area × (xs − x), v = 0.1 m/s",
    source="ASHRAE98",
    group="the tank",
)
def evaporation(
    length: Annotated[float, Ask("length", "the open surface, along", above=0, at_most=1000)],
    width: Annotated[float, Ask("length", "the open surface, across", above=0, at_most=1000)],
    temp: Annotated[float, Ask("temperature", "warmth of the water")],
    air_temp: Annotated[float, Ask("temperature", "warmth of the room")],
    humidity: Annotated[float, Ask("share", "dampness of the room's air")],
) -> Answer:
    """How much water an open tank loses in a day."""
    work = Working("an open tank, air that hardly moves (0.1 m/s)")
    at_water = work.step(
        "water in air at the surface", "vapour pressure at the water's warmth",
        float(humidity_ratio(vapour_pressure_kpa(temp))), "kg/kg", inputs={"temp": temp},
        source="BUCK81", status="memory",
    )  # fmt: skip
    in_room = work.step(
        "water in the room's air", "vapour pressure at the room's warmth × dampness",
        float(humidity_ratio(vapour_pressure_kpa(air_temp) * humidity)), "kg/kg",
        inputs={"air-temp": air_temp, "humidity": humidity}, source="BUCK81", status="memory",
    )  # fmt: skip
    hourly = float(evaporation_kg_h(length * width / CM2_PER_M2, ROOM_AIR_M_S[1], at_water, in_room))
    daily = work.step(
        "lost in a day", "0.74 × (25 + 19 v) × area × (xs − x) × 24 h",
        STILL_SHARE * HOURS * hourly,
        "L a day", inputs={"area cm2": length * width}, source="EVAPTB ASHRAE98", status="published-read",
    )  # fmt: skip
    work.caution("Right to a factor of two: your own top-up, counted for a week, is better.")
    low, high = (daily * s for s in COVERED)
    covered = Named.of("under a cover", (low + high) / 2, "L a day", low, high)
    return answer(
        daily, "L a day", work, low=daily / FACTOR, high=daily * FACTOR, also=(covered,),
        says="About {shown} evaporates ({range}).",
    )  # fmt: skip
