"""Which courses no other beats in everything, and what each of the few that are shown is best at."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tankward.model.rows import Array

from .records import Best, Score

# Differences smaller than these are none: nobody would choose by them. [our own choice]
ALIKE = {"clear": 0.005, "harm": 0.002, "days": 0.25, "minutes": 5.0, "cost": 0.01}
# A course is no best of its kind if it clears it so much less likely than the surest. [our own choice]
GIVEN_UP = 0.15
MOST_SHOWN = 4


class Named(NamedTuple):
    """A course that is shown, and what it is best at."""

    at: int
    best: tuple[Best, ...]


def measures(score: Score) -> tuple[float, float, float, float, float]:
    """What is compared, each the less the better: chance left, harm, days, minutes, cost."""
    left = 1.0 if score.clear is None else 1.0 - score.clear.value
    cost = score.cost if score.cost is not None else 0.0
    return left, score.harm, score.days, sum(score.minutes) / 2, cost


def unbeaten(rows: Array) -> NDArray[np.bool_]:
    """Which rows no other is at least as good in everything and better in something: a mask."""
    kept = np.ones(len(rows), bool)
    for n, row in enumerate(rows):
        if kept[n]:
            worse = (rows >= row).all(axis=1) & (rows > row).any(axis=1)
            kept &= ~worse
    return kept


def front(scores: Sequence[Score]) -> list[int]:
    """The sound ones that no other beats."""
    sound = [n for n, s in enumerate(scores) if s.sound]
    if not sound:
        return []
    kept = unbeaten(np.array([measures(scores[n]) for n in sound]))
    return [n for n, stays in zip(sound, kept, strict=True) if stays]


Key = Callable[[Score], tuple[float, ...]]


def _left(s: Score) -> float:
    return measures(s)[0]


def _step(x: float, alike: float) -> float:
    return round(x / alike)


def _by(first: Key) -> Key:
    """First by what it is best at, in steps that somebody would notice; then by the chance, harm and work."""
    return lambda s: (
        *first(s),
        _step(_left(s), ALIKE["clear"]),
        _step(s.harm, ALIKE["harm"]),
        sum(s.minutes),
    )


BESTS: tuple[tuple[Best, Key], ...] = (
    ("surest", _by(lambda s: (_step(_left(s), ALIKE["clear"]),))),
    ("gentlest", _by(lambda s: (_step(s.harm, ALIKE["harm"]),))),
    ("soonest", _by(lambda s: (_step(s.days, ALIKE["days"]),))),
    ("least-work", _by(lambda s: (_step(sum(s.minutes) / 2, ALIKE["minutes"]),))),
    ("cheapest", _by(lambda s: (_step(s.cost or 0.0, ALIKE["cost"]),))),
)


def named(
    scores: Sequence[Score], without_medicine: Sequence[bool], alike: Callable[[int], object]
) -> list[Named]:
    """The few that are shown: each best at something among those that clear it nearly as likely.

    Parameters
    ----------
    scores : sequence of Score
        All that were looked at.
    without_medicine : sequence of bool
        Which need none: the best of these is always shown where it clears it at all.
    alike : callable
        What tells two courses apart for a keeper; of those alike one is shown.
    """
    sound = [n for n, s in enumerate(scores) if s.sound]
    if not sound:
        return []
    least = min(_left(scores[n]) for n in sound)
    able = [n for n in sound if _left(scores[n]) <= least + GIVEN_UP]
    found: dict[object, tuple[int, list[Best]]] = {}
    for best, key in BESTS:
        some = [n for n in able if best != "cheapest" or scores[n].cost is not None]
        if not some or (best == "cheapest" and len(some) < 2):
            continue
        top = min(some, key=lambda n: key(scores[n]))
        found.setdefault(alike(top), (top, []))[1].append(best)
    bare = [n for n in sound if without_medicine[n]]
    if bare and not all(without_medicine[n] for n in sound):
        top = min(bare, key=lambda n: BESTS[0][1](scores[n]))
        found.setdefault(alike(top), (top, []))[1].append("no-medicine")
    return [Named(at, tuple(best)) for at, best in found.values()][: MOST_SHOWN + 1]
