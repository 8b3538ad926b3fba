"""The water in a tank, from a tape measure."""

from __future__ import annotations

from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer, Named, Working, answer
from tankward.room.volume import porosity
from tankward.water.volume import Sizes, WaterVolume, water_volume

Length = Annotated[
    float | None, Ask("length", "inside; outside if the glass is given", above=0, at_most=1000)
]


@calculation(
    "volume",
    unit="L",
    formula="floor × water height − floor × substrate × (1 − porosity) − solids",
    source="GEOM",
    group="the tank",
)
def volume(
    shape: Annotated[str, Ask("text", "shape of the tank", choices=("box", "cylinder", "hexagon", "bow"))],
    fill: Annotated[float, Ask("length", "water height above the inside floor", above=0, at_most=300)],
    length: Length = None,
    width: Length = None,
    diameter: Length = None,
    side: Length = None,
    bow: Annotated[
        float | None,
        Ask("length", "how far the front stands out in the middle", above=0, at_most=500),
    ] = None,
    glass: Annotated[
        float | None, Ask("length", "thickness of the glass: sizes are then outside", above=0, at_most=10)
    ] = None,
    substrate: Annotated[
        float | None, Ask("length", "depth of the substrate", at_least=0, at_most=100)
    ] = None,
    grain: Annotated[str, Ask("text", "size of the grains, like 1-2 mm, or sand")] = "",
    solids: Annotated[float | None, Ask("volume", "wood and stone under water", at_least=0)] = None,
) -> Answer:
    """How much water is in a tank."""
    bed = porosity(grain) if substrate else Estimate.exact(0.0)
    found = water_volume(
        Sizes(
            shape=shape,
            length_cm=length,
            width_cm=width,
            diameter_cm=diameter,
            side_cm=side,
            bow_cm=bow,
            glass_cm=glass or 0.0,
            fill_cm=fill,
            substrate_cm=substrate or 0.0,
            porosity=bed,
            solids_l=solids or 0.0,
        )
    )
    return tell_volume(found, bed, glass_given=glass is not None)


def tell_volume(found: WaterVolume, bed: Estimate, *, glass_given: bool) -> Answer:
    """The working of a volume: what the sizes hold, less grains and hard things."""
    work = Working("sizes inside the glass" if not glass_given else "sizes outside; the glass was taken off")
    work.step("floor inside the glass", "by the shape", found.floor_cm2, "cm2", source="GEOM")
    work.step("the sizes hold", "floor × water height", found.full_l, "L", source="GEOM")
    if found.grains_l:
        work.step(
            "grains",
            "floor × substrate × (1 − porosity)",
            found.grains_l,
            "L",
            inputs={"porosity": bed.value, "porosity low": bed.low, "porosity high": bed.high},
            source="GEOM",
            status="memory",
        )
    if found.solids_l:
        work.step("wood and stone", "as given", found.solids_l, "L")
    work.step("water", "what the sizes hold − grains − wood and stone", found.water_l, "L")
    e = found.estimate
    parts = (
        Named.of("the sizes hold", found.full_l, "L"),
        Named.of("grains", found.grains_l, "L"),
        Named.of("wood and stone", found.solids_l, "L"),
    )
    return answer(
        e.value, "L", work, low=e.low, high=e.high, also=parts, says="The water is {shown} ({range})."
    )
