"""What is really so in the demo room. Drawn afresh for each seed; no page and no command ever reads it."""

from __future__ import annotations

import msgspec
import numpy as np

from tankward.knowledge.known import Facts
from tankward.knowledge.records.cause import Cause

# What could leave rainbowfish thin with pale droppings: ids of causes.
THIN = ("hexamita", "capillaria", "camallanus", "mycobacteriosis")
SHOWN = ("white_stringy_faeces", "belly_sunken")  # what the keeper of T7 sees, whatever is behind it
LOOKED_FOR = ("eats_but_thin", "separated", "dark", "head_holes", "no_appetite", "lethargy")


class Truth(msgspec.Struct, frozen=True, kw_only=True):
    """The hidden state behind the logbook."""

    cause: str  # behind the thin fish in T7
    also_seen: tuple[str, ...]
    absent: tuple[str, ...]
    thin: tuple[int, ...]  # thin fish in T7 on the days before today, oldest first
    ammonia_n: dict[str, float]  # usual total ammonia of each tank, mg/L as N
    ph: dict[str, float]
    nitrate_per_day: dict[str, float]


def _weight(cause: Cause) -> float:
    shown = {c.id: (c.low + c.high) / 2 for c in cause.sign}
    return float(np.prod([shown.get(s, 0.02) for s in SHOWN])) * sum(cause.prior) / 2


def draw(rng: np.random.Generator, tanks: list[str], facts: Facts) -> Truth:
    """A truth: the cause by its chance to look like this, other signs by the chances of the facts."""
    weights = np.array([_weight(facts.causes[c]) for c in THIN])
    cause = THIN[int(rng.choice(len(THIN), p=weights / weights.sum()))]
    chances = {c.id: (c.low + c.high) / 2 for c in facts.causes[cause].sign}
    seen = tuple(s for s in LOOKED_FOR if rng.random() < chances.get(s, 0.03))
    grown = sorted(int(n) for n in rng.integers(0, 4, size=3))
    return Truth(
        cause=cause,
        also_seen=seen,
        absent=tuple(s for s in LOOKED_FOR if s not in seen),
        thin=(*grown[:2], 3),
        ammonia_n={t: float(rng.uniform(0.0, 0.06)) for t in tanks},
        ph={t: float(rng.normal(7.5, 0.12)) for t in tanks},
        nitrate_per_day={t: float(rng.uniform(0.2, 0.9)) for t in tanks},
    )
