"""The problems that the planner is held to, named beforehand."""

from .problems import Problem
from .rooms import AWAY, CROWDED, T2, T7, T8, WEAK, WORKDAYS

PRAZI_2X, PRAZI_30H = "praziquantel/fluke_2x", "praziquantel/fluke_30h"
MALACHITE, SALT = "malachite_green/long", "sodium_chloride/ich"
METRO_FOOD, METRO_BATH = "metronidazole/feed", "metronidazole/bath"

# Small enough that every point is simulated.
SMALL = (
    Problem(
        "gill flukes, praziquantel; shrimp and snails", T7, ("gill_flukes",),
        cut={
            PRAZI_2X: {"start": 1, "extra": 3, "siphon": 2},
            PRAZI_30H: {"start": 1, "extra": 2, "siphon": 2},
        },
    ),
    Problem(
        "white spot, malachite green and salt", T8, ("white_spot",),
        cut={
            MALACHITE: {"start": 1, "strength": 2, "stand": 2, "change": 2, "extra": 2, "siphon": 2},
            SALT: {"start": 1, "strength": 2, "stand": 2, "change": 1, "keeps": 1, "extra": 2, "siphon": 1},
        },
    ),
    Problem(
        "hexamita, metronidazole in food and water; shrimp and snails", T7, ("hexamita",),
        cut={
            METRO_FOOD: {"start": 2, "extra": 3},
            METRO_BATH: {"start": 1, "change": 2, "extra": 3, "siphon": 2},
        },
    ),
)  # fmt: skip

ENUMERATED = (
    Problem(
        "gill flukes, praziquantel; shrimp and snails", T7, ("gill_flukes",),
        cut={PRAZI_2X: {"start": 1}, PRAZI_30H: {"start": 2}},
    ),
    Problem(
        "white spot, malachite green and salt", T8, ("white_spot",),
        cut={
            MALACHITE: {"start": 1, "strength": 2, "stand": 2, "change": 2},
            SALT: {"start": 1, "strength": 2, "stand": 2, "change": 1, "keeps": 1},
        },
    ),
    Problem(
        "hexamita, metronidazole in food and water; shrimp and snails", T7, ("hexamita",),
        cut={METRO_FOOD: {}, METRO_BATH: {"start": 1}},
    ),
    Problem(
        "roundworms, levamisole; workdays alone, one day away", T8, ("camallanus",), hours=WORKDAYS,
        cut={"levamisole/bath": {"every": 3}, "levamisole/bath_high": {"every": 3}},
    ),
    Problem(
        "fungus, methylene blue and salt; warm and full", T2, ("fungus",),
        cut={
            "methylene_blue/long": {"start": 2, "strength": 2, "change": 1},
            "sodium_chloride/fungus": {"start": 2, "strength": 2, "change": 1, "keeps": 1, "extra": 4},
        },
    ),
)  # fmt: skip

# Whole, so that no more than a share of their points can be simulated by anybody.
HARD = (
    Problem(
        "hexamita: four remedies, shrimp, a weak filter, evenings, a day away", WEAK, ("hexamita",),
        hours=AWAY,
    ),
    Problem(
        "white spot: five remedies, crowded, a weak filter, workdays, a day away", CROWDED, ("white_spot",),
        hours=WORKDAYS,
    ),
    Problem("gill flukes: six remedies, evenings, a day away", T8, ("gill_flukes",), hours=AWAY),
)  # fmt: skip

# The same kind, small enough for a test.
HARD_SMALL = (
    HARD[0]._replace(
        cut={METRO_FOOD: {"extra": 3}, METRO_BATH: {"extra": 4, "change": 2, "stand": 1}},
    ),
    HARD[1]._replace(
        hours=AWAY,
        cut={
            MALACHITE: {"strength": 2, "stand": 2, "change": 2, "extra": 4},
            SALT: {"strength": 2, "stand": 2, "change": 1, "keeps": 1, "extra": 3},
        },
    ),
)
