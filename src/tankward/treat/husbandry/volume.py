"""The water in a tank, from a tape measure."""

from __future__ import annotations

from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer
from tankward.room.holds import tell_volume
from tankward.room.volume import porosity
from tankward.water.volume import Sizes, water_volume


def _size(says: str) -> Ask:
    """Inside; outside where the thickness of the glass is given."""
    return Ask("length", says, above=0, at_most=1000)


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
    length: Annotated[float | None, _size("how long, of a box or a bow front")] = None,
    width: Annotated[float | None, _size("how wide, front to back")] = None,
    diameter: Annotated[float | None, _size("how wide across, of a cylinder")] = None,
    side: Annotated[float | None, _size("how long one of the six sides is, of a hexagon")] = None,
    bow: Annotated[
        float | None,
        Ask("length", "how far the front stands out in the middle, of a bow front", above=0, at_most=500),
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
