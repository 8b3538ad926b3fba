"""How good a set of courses is, as one number and in parts. Named before anything was run.

A course is four numbers, the less the better: chance that it is not cleared, chance of harm, days, minutes
of work (`planner.front.measures`; cost is left out where no price was written down). Only sound courses
count: what passes a line adds nothing, however good it is.

- *Scale*: of each measure the span of the reference's own best courses; never less than ten differences that
  anybody would notice (`planner.front.ALIKE`), so that hairs do not count.
- *Volume lost*: of the space of trade-offs that the reference's courses reach (hypervolume, to 1.1 scales
  beyond its best), the share that the other's do not.
- *Step*: for each course of the reference that no other beats, by how much of a scale its nearest rival in
  the other set is worse in the measure where it is worst (additive epsilon). Its mean over them counts.
- *Kinds*: for what a keeper is shown (surest, gentlest, soonest, least work), by how much of a scale the
  other's is worse in just that.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from pymoo.indicators.hv import HV

from tankward.model.rows import Array
from tankward.treat.planner.front import ALIKE, measures, named, unbeaten
from tankward.treat.planner.records import Score

NAMES = ("clear", "harm", "days", "minutes")
KINDS = ("surest", "gentlest", "soonest", "least-work")
NOTICED = 50.0
BEYOND = 1.1


class Scale(NamedTuple):
    """What counts as nothing and as one, of each measure."""

    best: Array
    span: Array

    def of(self, rows: Array) -> Array:
        """Measures on this scale."""
        return (rows - self.best) / self.span


class Judged(NamedTuple):
    """One set held against a reference, all as shares of a scale."""

    lost: float  # of the volume; below nought: it reaches more
    step: float  # mean
    step_most: float
    kinds: tuple[float, ...]  # in the order of KINDS
    front: int
    reference: int

    @property
    def kind(self) -> float:
        """The worst of the kinds."""
        return max(self.kinds)


def rows_of(scores: Sequence[Score]) -> Array:
    """The sound courses that no other of them beats: courses × measures."""
    rows = np.array([measures(s)[: len(NAMES)] for s in scores if s.sound]).reshape(-1, len(NAMES))
    return rows[unbeaten(rows)]


def scale_of(reference: Array) -> Scale:
    """Of the best courses of a reference."""
    least = np.array([NOTICED * ALIKE[name] for name in NAMES])
    best = reference.min(axis=0)
    return Scale(best, np.maximum(reference.max(axis=0) - best, least))


def volume(rows: Array, scale: Scale) -> float:
    """Hypervolume on a scale."""
    if not len(rows):
        return 0.0
    return float(HV(ref_point=np.full(len(NAMES), BEYOND))(scale.of(rows)))


def steps(found: Array, reference: Array, scale: Scale) -> Array:
    """For each course of the reference how far the nearest found one is behind it; 1 where none is found."""
    if not len(found):
        return np.ones(len(reference))
    behind = scale.of(found)[None, :, :] - scale.of(reference)[:, None, :]
    return np.maximum(behind.max(axis=2).min(axis=1), 0.0)


def held(found: Sequence[Score], reference: Sequence[Score]) -> Judged:
    """What was found, against a reference in which something is sound."""
    mine, other = rows_of(found), rows_of(reference)
    scale = scale_of(other)
    behind = steps(mine, other, scale)
    return Judged(
        lost=1.0 - volume(mine, scale) / volume(other, scale),
        step=float(behind.mean()),
        step_most=float(behind.max()),
        kinds=tuple(_kinds(found, reference, scale)),
        front=len(mine),
        reference=len(other),
    )


def _kinds(found: Sequence[Score], reference: Sequence[Score], scale: Scale) -> list[float]:
    mine, other = _shown(found), _shown(reference)
    rows = []
    for n, kind in enumerate(KINDS):
        if kind not in mine:
            rows.append(1.0)
            continue
        gap = measures(mine[kind])[n] - measures(other[kind])[n]
        rows.append(max(0.0, float(gap / scale.span[n])))
    return rows


def _shown(scores: Sequence[Score]) -> dict[str, Score]:
    """The best of each kind, as a plan names them."""
    shown = named(scores, [False] * len(scores), lambda n: n)
    return {kind: scores[one.at] for one in shown for kind in one.best}
