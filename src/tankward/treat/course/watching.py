"""When it can be decided, and how long each organism is looked for after the course."""

from __future__ import annotations

from datetime import datetime, timedelta

import numpy as np

from tankward.knowledge.known import Facts
from tankward.knowledge.records.organism import Organism
from tankward.knowledge.temperature import ByTemperature, parameters
from tankward.quantities.parse import Estimate
from tankward.treat.remedies.reach import organisms_of
from tankward.treat.remedies.transfers import USUAL_C, USUAL_Q10

from .records import Watch

ENDS = (0.05, 0.95)
NEVER_OVER = ("slow_seid", "reservoir")
SEEN, NEAR_C = "seen", 3.0  # rows of this stage, read within so many degrees [our own choice]
DAYS = {"h": 1 / 24, "d": 1.0}
LONGEST_D = 120.0  # a stage that outlasts this is no cycle to wait for: it is a carrier


def watches(
    causes: tuple[str, ...], ends: datetime, temp_c: Estimate | None, facts: Facts
) -> tuple[Watch, ...]:
    """One full cycle of each organism from the last dose on (hygiene, quarantine_release)."""
    t = temp_c or Estimate.exact(USUAL_C)
    found = []
    for organism in organisms_of(causes, facts):
        days = cycle_d(organism, t)
        if days is not None:
            found.append(
                Watch(
                    organism=organism.id,
                    from_=ends,
                    until=ends + timedelta(days=round(days[1])),
                    low_d=days[0],
                    high_d=days[1],
                    source=_sources(organism),
                    status="computed",
                )
            )
    return tuple(found)


def cycle_d(organism: Organism, temp_c: Estimate) -> tuple[float, float] | None:
    """Shortest and longest time of one round through all stages of known length. [d]

    Never shorter than the time after which it is first seen. None where it is always about or where fish
    carry it for life: no number of clean days says that it is gone (safety rule 26).
    """
    rows = [row for key, row in parameters(organism).items() if key[0] == "days"]
    if not rows or organism.structure in NEVER_OVER:
        return None
    low = sum(_draw(row, ENDS[0], temp_c.high) for row in rows)
    high = sum(min(_draw(row, ENDS[1], temp_c.low), LONGEST_D) for row in rows)
    return low, max(high, first_seen_d(organism, temp_c))


def first_seen_d(organism: Organism, temp_c: Estimate) -> float:
    """The longest time until it shows, read at about this warmth; 0 where nobody says. [d]"""
    near = [
        row
        for row in organism.duration
        if SEEN in row.stage and row.temp_c is not None and abs(row.temp_c - temp_c.value) <= NEAR_C
    ]
    return max((row.span[1] * DAYS[row.unit] for row in near if row.span and row.unit in DAYS), default=0.0)


def _draw(row: ByTemperature, share: float, temp_c: float) -> float:
    return float(row.draw(np.array([share]), temp_c, USUAL_Q10)[0])


def _sources(organism: Organism) -> str:
    keys = (k for p in organism.parameter if p.name == "days" and p.use for k in p.keys)
    return " ".join(dict.fromkeys(keys)) or "none"
