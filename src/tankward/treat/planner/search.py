"""The search: many drafts by the substance alone, some through the model, a few exactly.

It begins at the published course of every way, the best of the first screen, and those of which the former
tell least; and goes on to the most promising by what is known by then (`guess.py`), and their neighbours,
always with the same draws.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime
from typing import NamedTuple

import numpy as np

from tankward.model.rows import Array

from .front import front, unbeaten
from .guess import Guesses
from .records import Point, Score, Searched, Wishes
from .way import Screen, Way

THREADS = 2
STEP = 0.6180339887498949  # golden section: points spread evenly over all there are
# Of the simulations so many go to what the screen found best, and so many to what is least known then.
FIRST_SHARE, SPREAD_SHARE = 0.12, 0.1
BATCH, GUESSED = 16, 8  # simulated before it is guessed anew
EXPLORED = 1  # of those guessed, one of which little is known


class Budget(NamedTuple):
    """How many drafts are screened, simulated, refined."""

    screened: int = 5000
    simulated: int = 200
    refined: int = 10


class Found(NamedTuple):
    """One draft that was simulated."""

    way: int
    point: Point
    score: Score


class Search(NamedTuple):
    """All that was simulated, and how far was looked."""

    found: tuple[Found, ...]
    counted: Searched
    passed_by_screen: int


Scorer = Callable[[int, Point], Score]
Told = Callable[[str, int, int], None]


def search(
    ways: Sequence[Way],
    scorer: Scorer,
    weights: Array,
    by: datetime,
    wishes: Wishes,
    *,
    budget: Budget = Budget(),
    told: Told = lambda stage, done, of: None,
) -> Search:
    """Look through all ways.

    Parameters
    ----------
    ways : sequence of Way
        What may be given, in every way.
    scorer : callable
        (number of the way, point) -> Score, with few draws.
    weights : array
        Of the draws of the screen.
    by : datetime
        The day by which the goal counts.
    told : callable
        Stage, done, of: for a progress bar.
    """
    screened = _screened(ways, weights, by, wishes, budget.screened, told)
    seen: dict[tuple[int, Point], Found] = {}
    with ThreadPoolExecutor(THREADS) as pool:

        def simulate(some: Iterable[tuple[int, Point]]) -> None:
            new = [k for k in dict.fromkeys(some) if k not in seen][: budget.simulated - len(seen)]
            for k, score in zip(new, pool.map(lambda k: scorer(*k), new), strict=True):
                seen[k] = Found(*k, score)
            told("simulated", len(seen), budget.simulated)

        simulate((n, way.published) for n, way in enumerate(ways) if way.published in screened[n])
        first = _first(ways, screened, round(budget.simulated * FIRST_SHARE))
        for n in range(0, len(first), BATCH):
            simulate(first[n : n + BATCH])
        guesses, around = Guesses(ways), _Around(ways, screened, weights, by, wishes)
        told_of, spread_until = 0, len(seen) + round(budget.simulated * SPREAD_SHARE)
        while len(seen) < budget.simulated:
            found = list(seen.values())
            around.look(found)
            for n, passed in enumerate(screened):
                guesses.add(n, passed)
            for one in found[told_of:]:
                guesses.tell(*one)
            told_of = len(found)
            if len(found) < spread_until:
                promising = guesses.little_known(min(BATCH, spread_until - len(found)))
            else:
                promising = guesses.most_promising(GUESSED - EXPLORED) + guesses.little_known(EXPLORED)
            if not any(k not in seen for k in promising):
                break
            simulate(promising)
    drafted = sum(way.size() for way in ways)
    tried = sum(len(s) for s in screened)
    counted = Searched(drafted=drafted, screened=min(drafted, budget.screened), simulated=len(seen))
    return Search(tuple(seen.values()), counted, tried)


def _screened(
    ways: Sequence[Way], weights: Array, by: datetime, wishes: Wishes, most: int, told: Told
) -> list[dict[Point, Screen]]:
    """Of each way the points that pass the screen."""
    found: list[dict[Point, Screen]] = []
    shares = [math.sqrt(way.size()) for way in ways]
    done = 0
    for way, share in zip(ways, shares, strict=True):
        points = spread(way, max(8, round(most * share / sum(shares))))
        done += len(points)
        found.append(passing(way, points, weights, by, wishes))
        told("screened", done, most)
    return found


def passing(
    way: Way, points: Sequence[Point], weights: Array, by: datetime, wishes: Wishes
) -> dict[Point, Screen]:
    """The points that can be done and pass no line by the substance alone."""
    most = wishes.most_of("over-limit")
    rows = zip(points, way.screen(points, weights, by), strict=True)
    return {p: s for p, s in rows if s is not None and s.over <= most}


def spread(way: Way, most: int) -> list[Point]:
    """The published point, all that differ from it in one choice, then points spread over the rest."""
    kept: dict[Point, None] = {way.published: None}
    kept |= dict.fromkeys(near(way, way.published))
    size = way.size()
    if size <= most:
        return list(dict.fromkeys((*kept, *itertools.product(*(range(len(a)) for a in way.axes)))))
    n = 0
    while len(kept) < most and n < 4 * most:
        kept[_point(way, math.floor(n * STEP % 1.0 * size))] = None
        n += 1
    return list(kept)


def _point(way: Way, number: int) -> Point:
    found = []
    for axis in way.axes:
        number, at = divmod(number, len(axis))
        found.append(at)
    return tuple(found)


def near(way: Way, point: Point) -> list[Point]:
    """All points that differ in one choice by any value."""
    return [
        (*point[:k], value, *point[k + 1 :])
        for k, axis in enumerate(way.axes)
        for value in range(len(axis))
        if value != point[k]
    ]


def _first(
    ways: Sequence[Way], screened: Sequence[dict[Point, Screen]], most: int
) -> list[tuple[int, Point]]:
    """Of each way its share: those that no other beats by the screen, layer by layer."""
    each = max(4, most // max(1, len(ways)))
    rows = [[(n, p) for p in _best(screened[n], each)] for n in range(len(ways))]
    return [k for together in itertools.zip_longest(*rows) for k in together if k is not None]


def _best(found: dict[Point, Screen], most: int) -> list[Point]:
    points = list(found)
    rows = np.array([(-s.at_work_h, s.days, s.steps) for s in found.values()])
    kept: list[Point] = []
    left = np.arange(len(points))
    while left.size and len(kept) < most:
        top = unbeaten(rows[left])
        layer = left[top]
        if layer.size > most - len(kept):  # evenly over the layer, by hours at work
            order = layer[np.argsort(rows[layer, 0], kind="stable")]
            layer = order[np.linspace(0, order.size - 1, most - len(kept)).round().astype(int)]
        kept += [points[n] for n in layer]
        left = left[~top]
    return kept


class _Around:
    """Screens what lies one choice away from the best found, each once."""

    def __init__(
        self,
        ways: Sequence[Way],
        screened: Sequence[dict[Point, Screen]],
        weights: Array,
        by: datetime,
        wishes: Wishes,
    ) -> None:
        self.ways, self.screened = ways, screened
        self.weights, self.by, self.wishes = weights, by, wishes
        self._looked: set[tuple[int, Point]] = set()
        self._known = [set(passed) for passed in screened]

    def look(self, found: Sequence[Found]) -> None:
        """Around all that nothing beats; what passes is put to the screened."""
        best = front([f.score for f in found]) or _nearest(found)
        fresh: dict[int, dict[Point, None]] = {}
        for n in best:
            way, point = found[n].way, found[n].point
            if (way, point) not in self._looked:
                self._looked.add((way, point))
                around = (p for p in near(self.ways[way], point) if p not in self._known[way])
                fresh.setdefault(way, {}).update(dict.fromkeys(around))
        for way, points in fresh.items():
            self._known[way].update(points)
            self.screened[way].update(
                passing(self.ways[way], list(points), self.weights, self.by, self.wishes)
            )


def _nearest(found: Sequence[Found]) -> list[int]:
    """Where none is sound, those that are nearest to it."""
    return sorted(range(len(found)), key=lambda n: found[n].score.harm)[:4]
