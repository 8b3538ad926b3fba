"""Which function answers which quantity of water.toml."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from tankward.water import ammonia, geometry, oxygen
from tankward.water.volume import Sizes, water_volume

HPA_PER_KPA = 10.0


def _box_outside(i: Mapping[str, Any]) -> float:
    return water_volume(
        Sizes(
            length_cm=i["outer_length_cm"],
            width_cm=i["outer_width_cm"],
            glass_cm=i["glass_cm"],
            fill_cm=i["fill_height_above_bottom_cm"],
        )
    ).full_l


MAP: dict[str, Callable[[Mapping[str, Any]], Any]] = {
    "nh3_fraction": lambda i: ammonia.unionised_share(i["ph"], i["temp_c"], i["ionic_strength_mol_l"]),
    "ammonia_acute_criterion": lambda i: ammonia.acute_criterion(
        i["ph"], i["temp_c"], i["salmonids_present"]
    ),
    "ammonia_chronic_criterion": lambda i: ammonia.chronic_criterion(i["ph"], i["temp_c"]),
    "nh3_from_nh3_n": lambda i: ammonia.nh3_from_n(i["nh3_n_mg_l"]),
    "do_saturation": lambda i: oxygen.oxygen_saturation(
        i["temp_c"], i["salinity_g_kg"], i["pressure_kpa"] * HPA_PER_KPA
    ),
    "pressure_at_altitude": lambda i: oxygen.pressure_at_altitude(i["altitude_m"]) / HPA_PER_KPA,
    "volume_cylinder": lambda i: geometry.column_l(
        geometry.cylinder_area(i["inner_diameter_cm"]), i["fill_height_cm"]
    ),
    "volume_regular_hexagon": lambda i: geometry.column_l(
        geometry.hexagon_area(i["inner_side_cm"]), i["fill_height_cm"]
    ),
    "volume_regular_hexagon_across_flats": lambda i: geometry.column_l(
        geometry.hexagon_area(geometry.hexagon_side(i["inner_across_flats_cm"])), i["fill_height_cm"]
    ),
    "volume_bow_front": lambda i: geometry.column_l(
        geometry.bow_area(
            i["inner_width_cm"],
            i["depth_at_sides_cm"],
            i["depth_at_centre_cm"] - i["depth_at_sides_cm"],
        ),
        i["fill_height_cm"],
    ),
    "volume_box_from_outside": _box_outside,
    "water_in_substrate": lambda i: geometry.water_in_substrate_l(
        i["area_cm2"], i["depth_cm"], i["porosity"]
    ),
}
