"""The problems that the planner is held to, named beforehand."""

from .problems import Problem
from .rooms import AWAY, CASE_1, CROWDED, EVENINGS, HARD_WATER, T2, T7, T8, WEAK, WORKDAYS

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

# Made when the search was done, and never looked at while any number of it was set.
FRESH = (
    Problem(
        "tapeworms, praziquantel in water and food, and a packet; livebearers, shrimp; evenings", CASE_1,
        ("tapeworms",), hours=EVENINGS,
        cut={
            "praziquantel/tape_24h": {"start": 2},
            "praziquantel/feed_tape": {},
            "metronidazole_praziquantel/by_parts": {"start": 1, "extra": 4, "siphon": 2},
        },
    ),
    Problem(
        "hairworms, levamisole and three medicated foods", T8, ("capillaria",),
        cut={
            "levamisole/bath": {"start": 1, "every": 2},
            "fenbendazole/feed": {}, "emamectin/feed_capillaria": {}, "flubendazole/feed": {},
        },
    ),
    Problem(
        "columnaris, salt; hard water, a day away", HARD_WATER, ("columnaris",), hours=AWAY,
        cut={"sodium_chloride/columnaris": {"change": 1, "keeps": 1}},
    ),
    Problem(
        "skin flukes, praziquantel in two ways; warm and full, evenings", T2, ("skin_flukes",),
        hours=EVENINGS,
        cut={
            "praziquantel/fluke_2x": {"start": 1},
            "praziquantel/fluke_long": {
                "start": 1, "strength": 1, "every": 2, "stand": 1, "change": 2, "siphon": 2,
            },
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

# The same kind, small enough for a test: such that points at random do not hold.
HARD_SMALL = (
    HARD[2]._replace(
        cut={
            PRAZI_2X: {"extra": 4},
            "praziquantel/fluke_long": {"start": 2, "strength": 2, "every": 3, "stand": 1, "extra": 4},
        },
    ),
)
