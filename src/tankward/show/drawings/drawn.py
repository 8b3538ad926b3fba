"""The front of the drawings, as pages use them."""

from __future__ import annotations

from . import animals
from .animals import forms
from .bars import range_bar, range_ticks, tick_box
from .bellies import Cut, belly_cuts
from .day_bar import day_bar
from .marks import mark
from .plate import plate, plate_views
from .rack import RackTank, empty_tank, rack, rack_views
from .svg import Svg

OF_SHAPE = {
    "fusiform": "torpedo",
    "elongated": "torpedo",
    "short and deep": "deep",
    "eel-like": "bottom",
    "shrimp": "shrimp",
    "crayfish": "shrimp",
    "snail": "snail",
}


def form_of(body_shape: str, sex: str = "", *, livebearer: bool = False) -> str:
    """The outline that stands for an animal."""
    if livebearer:
        return "livebearer male" if sex == "male" else "livebearer female"
    return OF_SHAPE.get(body_shape, "torpedo")


def outline(form: str, chosen: tuple[str, ...] = (), title: str = "") -> Svg:
    """The animal with its zones, the chosen ones hatched."""
    return animals.outline(forms()[form], chosen, title=title)


def small(form: str) -> Svg:
    """The animal beside its name."""
    return animals.small(forms()[form])


__all__ = [
    "Cut",
    "RackTank",
    "belly_cuts",
    "day_bar",
    "empty_tank",
    "form_of",
    "forms",
    "mark",
    "outline",
    "plate",
    "plate_views",
    "rack",
    "rack_views",
    "range_bar",
    "range_ticks",
    "small",
    "tick_box",
]
