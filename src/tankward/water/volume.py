"""The water in a tank: what the sizes hold, less grains and hard things, with its range."""

from __future__ import annotations

import math
from collections.abc import Callable

import msgspec

from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate

from .arrays import Array
from .geometry import bow_area, box_area, column_l, cylinder_area, grains_l, hexagon_area

# What a keeper with a tape can't see, as 5th to 95th centile either way.
TAPE = 0.02  # GEOM: 1 to 2 % of the volume
WATER_LINE_CM = 1.0  # between two top-ups [common practice, no source]
SUBSTRATE_CM = 1.0  # a bed is never flat [common practice, no source]
SOLIDS = 0.5  # wood and stone are guessed [common practice, no source]

NEEDS = {
    "box": ("length", "width"),
    "cylinder": ("diameter",),
    "hexagon": ("side",),
    "bow": ("length", "width", "bow"),
}
AREA: dict[str, Callable[..., Array]] = {
    "box": box_area,
    "cylinder": cylinder_area,
    "hexagon": hexagon_area,
    "bow": bow_area,
}


class Sizes(msgspec.Struct, frozen=True, kw_only=True):
    """A tank as a tape measure sees it. With `glass_cm` the lengths are outside ones."""

    shape: str = "box"
    length_cm: float | None = None
    width_cm: float | None = None
    diameter_cm: float | None = None
    side_cm: float | None = None
    bow_cm: float | None = None
    glass_cm: float = 0.0
    fill_cm: float
    substrate_cm: float = 0.0
    porosity: Estimate = Estimate.exact(0.0)
    solids_l: float = 0.0

    def inner(self, name: str) -> float:
        """One of the lengths, inside the glass.

        Raises
        ------
        BadInput
            If it is missing or the glass leaves nothing of it.
        """
        outer = getattr(self, f"{name}_cm")
        if outer is None:
            raise BadInput(name, "", f"is missing: a {self.shape} needs {' and '.join(NEEDS[self.shape])}.")
        size = float(outer) - self._glass(name)
        if size <= 0:
            raise BadInput(name, f"{outer:g} cm", "can't be right: the glass is thicker than that.")
        return size

    def _glass(self, name: str) -> float:
        # The side of a hexagon shrinks by 2 g tan 30°; a bow's rise is the same inside and outside.
        return self.glass_cm * {"side": 2 * math.tan(math.pi / 6), "bow": 0.0}.get(name, 2.0)


class WaterVolume(msgspec.Struct, frozen=True, kw_only=True):
    """Litres of each part, and how far the water may be off."""

    floor_cm2: float
    full_l: float
    grains_l: float
    solids_l: float
    water_l: float
    half_range_l: float

    @property
    def estimate(self) -> Estimate:
        half = min(self.half_range_l, self.water_l * 0.95)
        return Estimate(self.water_l, self.water_l - half, self.water_l + half)


def floor_area(sizes: Sizes) -> float:
    """Floor inside the glass. [cm²]

    Raises
    ------
    BadInput
        If the shape is not known, a size is missing, or a bow stands out by more than half its length.
    """
    if sizes.shape not in NEEDS:
        raise BadInput("shape", sizes.shape, f"is not one of {', '.join(NEEDS)}.")
    inner = [sizes.inner(name) for name in NEEDS[sizes.shape]]
    if sizes.shape == "bow" and inner[2] > inner[0] / 2:
        raise BadInput("bow", f"{inner[2]:g} cm", "can't be right: it is at most half the length.")
    return float(AREA[sizes.shape](*inner))


def water_volume(sizes: Sizes) -> WaterVolume:
    """The water in a tank with its range.

    Parameters
    ----------
    sizes : Sizes
        Lengths in cm; water height and substrate measured from the inside floor.

    Returns
    -------
    WaterVolume
        All in litres; the range is the 5th to 95th centile.

    Raises
    ------
    BadInput
        If a size is missing or no water is left.

    Notes
    -----
    floor × height − floor × bed × (1 − porosity) − solids. The errors of tape, water line,
    bed, porosity and solids are taken as independent and added as squares. Source: GEOM (computed).
    """
    if sizes.substrate_cm > sizes.fill_cm:
        raise BadInput("substrate", f"{sizes.substrate_cm:g} cm", "can't be right: that is above the water.")
    area = floor_area(sizes)
    full = float(column_l(area, sizes.fill_cm))
    grains = float(grains_l(area, sizes.substrate_cm, sizes.porosity.value))
    water = full - grains - sizes.solids_l
    if water <= 0:
        raise BadInput("solids", f"{sizes.solids_l:g} L", f"can't be right: the tank holds {full:.3g} L.")
    return WaterVolume(
        floor_cm2=area,
        full_l=full,
        grains_l=grains,
        solids_l=sizes.solids_l,
        water_l=water,
        half_range_l=_half_range(sizes, area, full),
    )


def _half_range(sizes: Sizes, area: float, full: float) -> float:
    packing = (sizes.porosity.high - sizes.porosity.low) / 2
    bed = area * (1 - sizes.porosity.value) * min(SUBSTRATE_CM, sizes.substrate_cm) / 1000
    return math.hypot(
        TAPE * full,
        area * WATER_LINE_CM / 1000,
        bed,
        area * sizes.substrate_cm * packing / 1000,
        SOLIDS * sizes.solids_l,
    )
