"""An elicited number must be honest: under a factor 3 from low to high it would claim to be measured."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf, log

from tankward.knowledge.records.organism import Kill, Organism, Parameter

Wrong = tuple[str, str]

ELICITED = "memory"
FACTOR, NEARLY = 3.0, 0.985  # figures are rounded
FACTOR_OF = {"harm_hill": 1.9, "q10": 1.9, "resist_share": 1.9}  # their whole range is little wider
DEGREES = 2.0
ALL = 0.99  # a share called all


def faults(organism: Organism) -> Iterator[Wrong]:
    """Elicited rows that are drawn and are too narrow."""
    for number, row in enumerate(organism.parameter, 1):
        factor = FACTOR_OF.get(row.name, FACTOR)
        if row.use and row.status == ELICITED and _width(row) < factor * NEARLY:
            yield f"parameter row {number}", f"{row.name} is elicited, but narrower than a factor {factor:g}"
    for number, kill in enumerate(organism.kill, 1):
        if kill.use and kill.status == ELICITED and _rate_width(kill) < FACTOR * NEARLY:
            yield f"kill row {number}", "is elicited, but its rate is narrower than a factor 3"


def _width(row: Parameter) -> float:
    """Factor from low to high; of a share the wider of its two sides; without end where an end is 0 or 1."""
    if row.unit == "C":
        return inf if row.high - row.low >= DEGREES else 1.0
    if row.low <= 0:
        return inf
    if row.unit == "1" and row.high <= 1 and row.low < 1:
        return max(row.high / row.low, (1 - row.low) / (1 - row.high) if row.high < 1 else inf)
    return row.high / row.low


def _rate_width(kill: Kill) -> float:
    low, high = (-log(1 - min(share, ALL)) for share in (kill.share_low, kill.share_high))
    return high / low if low > 0 else inf
