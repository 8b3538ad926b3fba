"""The one list of calculations that both faces share, read off the modules that hold them."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator

from tankward.quantities.calculation import Calculation

# A module put into one of these packages is in the list; nothing else has to know of it.
SHELVES = ("tankward.water.calc", "tankward.treat.husbandry", "tankward.treat.amounts.calc")


def _modules() -> Iterator[object]:
    for shelf in SHELVES:
        package = importlib.import_module(shelf)
        for found in pkgutil.iter_modules(package.__path__):
            yield importlib.import_module(f"{shelf}.{found.name}")


def gather() -> dict[str, Calculation]:
    """Every calculation by its name; two of one name are a fault of the program."""
    found: dict[str, Calculation] = {}
    for module in _modules():
        for thing in vars(module).values():
            if isinstance(thing, Calculation) and found.setdefault(thing.name, thing) is not thing:
                raise TypeError(f"two calculations are called {thing.name}")
    return dict(sorted(found.items()))


CALCULATIONS: dict[str, Calculation] = gather()
