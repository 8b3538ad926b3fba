"""What is left of a dose, what changes wash out, and where repeated doses climb to."""

from __future__ import annotations

import math
from collections.abc import Iterable


def share_left(hours: float, half_life_h: float | None) -> float:
    """Share of a substance still there after so many hours; None as half-life: it lasts."""
    return 1.0 if half_life_h is None else float(0.5 ** (hours / half_life_h))


def half_life_h(left: float, hours: float) -> float:
    """Half-life from the share left after a time, if it fades evenly. [h]"""
    return hours * math.log(2) / -math.log(left)


def washed_out(level: float, changes: Iterable[float], kept_between: float = 1.0) -> list[float]:
    """Level after each change; `kept_between` is the share that outlasts the wait between two changes."""
    levels: list[float] = []
    for number, share in enumerate(changes):
        level *= (kept_between if number else 1.0) * (1.0 - share)
        levels.append(level)
    return levels


def peaks(level: float, changed: float, doses: int, kept: float = 1.0) -> list[float]:
    """Level just after each of several equal doses, with a change before each but the first.

    Parameters
    ----------
    level : float
        What one dose makes in clean water. [mg/L or any]
    changed : float
        Share of the water changed before every further dose. [-]
    doses : int
        How many doses.
    kept : float
        Share that outlasts the wait between doses by itself; 1 where it lasts. [-]

    Notes
    -----
    peak(1) = level, peak(n) = level + peak(n − 1) × kept × (1 − changed). Arithmetic; no source needed.
    """
    out = [level]
    while len(out) < doses:
        out.append(level + out[-1] * kept * (1.0 - changed))
    return out


def tends_to(level: float, changed: float, kept: float = 1.0) -> float:
    """Peak towards which endless equal doses climb: level / (1 − kept × (1 − changed)); inf: no end."""
    lost = 1.0 - kept * (1.0 - changed)
    return level / lost if lost > 0 else math.inf


def changes_needed(level: float, target: float, changed: float) -> int:
    """How many changes of that share bring the level to the target or below."""
    if level <= target:
        return 0
    return math.ceil(math.log(target / level) / math.log(1.0 - changed) - 1e-9)
