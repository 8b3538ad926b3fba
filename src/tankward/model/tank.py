"""The processes of the water, one line each. What is added here is fused, drawn, charted and tested with the
rest.
"""

from __future__ import annotations

from types import ModuleType

from .processes import (
    breathing,
    carbonate,
    decay,
    demand,
    extent,
    feeding,
    gas,
    harm,
    nitrification,
    plants,
)

PROCESSES: tuple[ModuleType, ...] = (
    extent,  # first: the others ask how much water there is
    feeding,
    decay,
    nitrification,
    harm,
    gas,
    carbonate,
    breathing,
    plants,
    demand,
)
