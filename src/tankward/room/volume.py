"""How much water a tank holds, from what the keeper said of it."""

from __future__ import annotations

import re

from tankward.knowledge.loader import load
from tankward.knowledge.records.water import WaterFact
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate, quantity
from tankward.water.volume import Sizes, WaterVolume, water_volume

from .things import Tank

UNIFORM_MM = (1.0, 5.0)  # grains of one size, washed: what por.clean speaks of
WORDS = ("sand", "gravel", "soil", "mixed")


def _share(key: str) -> WaterFact:
    """The porosity of that name."""
    return next(f for f in load().water.fact if f.id == f"por.{key}")


def _beds() -> dict[str, Estimate]:
    """Kinds of bed with the water between their grains; ends of a range are the nearest kinds."""
    clean, most = _share("clean"), _share("clean").high or 0.0
    likely = {key: _share(key).value or 0.0 for key in ("clean", "sand", "open", "gravel", "mixed")}
    return {
        "even": Estimate(likely["clean"], clean.low or 0.0, most),
        "sand": Estimate(likely["clean"], likely["sand"], most),
        "gravel": Estimate(likely["open"], likely["gravel"], most),
        "mixed": Estimate(likely["gravel"], likely["mixed"], likely["open"]),
        "soil": Estimate(likely["open"], likely["mixed"], most),
    }


def porosity(grain: str) -> Estimate:
    """Share of a bed that is water, from the size of its grains ("1-2 mm") or a word ("sand").

    Raises
    ------
    BadInput
        If it is neither a size nor a known word.
    """
    text = grain.strip().lower() or "soil"
    if text in WORDS:
        return _beds()[text]
    if not re.search(r"\d", text):
        raise BadInput("grain", grain, f"is not known. Write a size like 1-2 mm, or {', '.join(WORDS)}.")
    mm = quantity(text, "length", "grain").value * 10
    fine, coarse = UNIFORM_MM
    return _beds()["sand" if mm < fine else "even" if mm <= coarse else "gravel"]


def sizes_of(tank: Tank) -> Sizes | None:
    """The sizes of a tank as the geometry wants them; None where the water's height is not known."""
    if tank.fill_cm is None:
        return None
    return Sizes(
        shape=tank.shape,
        length_cm=tank.length_cm,
        width_cm=tank.width_cm,
        diameter_cm=tank.diameter_cm,
        side_cm=tank.side_cm,
        bow_cm=tank.bow_cm,
        glass_cm=(tank.glass_mm or 0.0) / 10,
        fill_cm=tank.fill_cm,
        substrate_cm=tank.substrate_cm,
        porosity=porosity(tank.grain) if tank.substrate_cm else Estimate.exact(0.0),
        solids_l=tank.solids_l,
    )


def volume_of(tank: Tank) -> WaterVolume | None:
    """Litres of each part of a tank, from its sizes; None where they are not known."""
    sizes = sizes_of(tank)
    return None if sizes is None else water_volume(sizes)


def litres(tank: Tank) -> Estimate | None:
    """The water in a tank: what was said or measured wins over the sizes; None is not known."""
    if tank.volume_l is not None:
        return tank.volume_l
    found = volume_of(tank)
    return None if found is None else found.estimate
