"""Tanks as a keeper would tell of them. All invented."""

import pytest

from tankward.knowledge.loader import load
from tankward.quantities.parse import Estimate
from tankward.room.things import Stock

FACTS = load()
approx = pytest.approx


def group(kind, number, name=None, **more):
    ident = more.pop("id", f"{name or kind}")
    return Stock(
        id=ident,
        tank="T",
        kind=kind,
        name=name or kind.replace("_", " "),
        number=Estimate.exact(number),
        **more,
    )


def thin_livebearers():
    """Expert case 1: platies of both sexes, shrimp, snails, small catfish, moss."""
    return [
        group("platy", 25, "platies", sex="female", length_cm=Estimate.exact(3.0)),
        group("platy", 15, "platy males", sex="male", length_cm=Estimate.exact(2.2)),
        group("cherry_shrimp", 20),
        group("ramshorn", 6, "ramshorn snails"),
        group("pygmy_cory", 4, "small catfish"),
        group("java_moss", 1, "moss"),
    ]


def white_grains():
    """Expert case 2: loaches, harlequins, shrimp, moss; 58 L, 24 °C, 4 dKH."""
    return [
        group("kuhli_loach", 8, "kuhli loaches"),
        group("harlequin", 12, "harlequins"),
        group("cherry_shrimp", 30),
        group("java_moss", 1, "moss"),
    ]
