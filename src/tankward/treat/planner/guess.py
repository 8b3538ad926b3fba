"""What a draft will come to, guessed from those that were simulated: which of many to simulate next.

Drafts that are alike come to nearly the same, so each is guessed as a weighted mean of those known of its
way, by how many choices they share and how alike they are by the screen (kriging). Days, work and cost are
known beforehand; chance to clear, chance of harm and what passes a line are guessed. A guess is taken for a
little better than it is where little is known nearby. It only sets the order of what is simulated.

What is known is taken in one draft at a time (a row of a Cholesky factor), so nothing is ever solved anew.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tankward.model.rows import Array

from .front import ALIKE, measures, unbeaten
from .records import Point, Score
from .way import Screen, Way

# How alike two drafts are: by the share of choices in common, by how few differ, by the screen. [our own]
SHARED, FEW, SCREENED = 0.5, 1.0, 1.0
FALLS = 0.15  # of the second, for each choice that differs
WIDE = 2.0  # of the third, in standard deviations of all drafts
OTHER = 0.5  # what a choice counts for that is another at all; the rest by how far off on its axis
NOISE = 1e-3
HOPE = 0.6  # standard deviations by which a guess is taken for better
BELIEVED = 2.0  # drafts that what is known of all ways counts for in the spread of one
LEAST_SCALE = 50.0  # differences that anybody would notice make one scale at least
FAR = 0.9999  # a chance nearer to certainty counts as this
HARM = 0.01  # chances of harm are told apart by their logarithm, this added
COARSE, LOOKED = 16, 400  # courses that all drafts are held against first; drafts held against all of them
DIGITS = 6
LOGISTIC, HALF = 1.7, 0.5  # the logistic that is nearest to the normal curve
FAR_OVER, CLOSE = 0.1, 0.001  # a line passed by more counts as this; so close to one nothing is told apart
UNLIKELY = 0.05  # what holds less likely is not looked at
LEFT, HARMED, DAYS, WORK, COST = range(5)  # columns of measures
TOLD = 4  # left, harm, work, over


class Draft(NamedTuple):
    """A point of a way, with what is known before it is simulated; `minutes` None: guessed too."""

    point: Point
    screen: Screen
    minutes: float | None
    cost: float | None


class Field:
    """All drafts of one way that pass the screen, and what is known and guessed of them."""

    def __init__(self, tops: Sequence[int]) -> None:
        self.tops = np.array(tops, float)
        self.at: dict[Point, int] = {}
        self.points: list[Point] = []
        self.size, self.known = 0, 0
        self._points = np.zeros((0, len(tops)))
        self._seen = np.zeros((0, 4))
        self._fixed = np.zeros((0, 3))  # days, work, cost
        self._middle: Array | None = None
        self._width = np.ones(4)
        self._rows = np.zeros((0, 0))  # known × drafts: the factor, of which the known ones' columns are L
        self._unsure = np.zeros(0)
        self._pivots: list[float] = []
        self._places: list[int] = []
        self._values = np.zeros((0, TOLD))
        self._solved = np.zeros((0, TOLD))
        self._ones = np.zeros(0)

    def add(self, drafts: Sequence[Draft]) -> None:
        """More drafts; what is known tells of them too."""
        if not drafts:
            return
        points = np.array([d.point for d in drafts], float) / np.maximum(self.tops, 1.0)
        told = [(np.log1p(d.screen.at_work_h), d.screen.days, d.screen.steps, d.screen.over) for d in drafts]
        seen = np.array(told)
        if self._middle is None:
            self._middle, self._width = seen.mean(axis=0), WIDE * seen.std(axis=0) + 1e-9
        seen = (seen - self._middle) / self._width
        fixed = [(d.screen.days, np.nan if d.minutes is None else d.minutes, d.cost or 0.0) for d in drafts]
        self.at.update({d.point: self.size + n for n, d in enumerate(drafts)})
        self.points += [d.point for d in drafts]
        self._points = np.vstack([self._points, points])
        self._seen = np.vstack([self._seen, seen])
        self._fixed = np.vstack([self._fixed, np.array(fixed)])
        rows = np.zeros((self.known, len(drafts)))
        for n, place in enumerate(self._places):
            alike = self._alike(place, slice(self.size, None))
            rows[n] = (alike - _dot(self._rows[:n, place], rows[:n])) / self._pivots[n]
        self._grow(self.known, self.size + len(drafts))
        self._rows[: self.known, self.size : self.size + len(drafts)] = rows
        self._unsure = np.concatenate([self._unsure, SHARED + FEW + SCREENED - (rows**2).sum(axis=0)])
        self.size += len(drafts)

    def tell(self, point: Point, score: Score) -> None:
        """What one of them came to."""
        place, value = self.at[point], _told(score)
        mine, pivot, row = self._row(place, self.known)
        self._unsure = self._unsure - row**2
        self._values = np.vstack([self._values, value])
        self._solved = np.vstack([self._solved, (value - _dot(mine, self._solved)) / pivot])
        self._ones = np.append(self._ones, (1.0 - float((mine * self._ones).sum())) / pivot)
        self._pivots.append(pivot)
        self._places.append(place)
        self.known += 1

    def _row(self, place: int, n: int) -> tuple[Array, float, Array]:
        """The factor's row of one draft, as the n-th that is known."""
        self._grow(n + 1, self.size)
        mine = self._rows[:n, place].copy()
        pivot = float(np.sqrt(max(SHARED + FEW + SCREENED + NOISE - float((mine**2).sum()), NOISE)))
        row = (self._alike(place, slice(None)) - _dot(mine, self._rows[:n, : self.size])) / pivot
        self._rows[n, : self.size] = row
        return mine, pivot, row

    def little_known(self, most: int) -> list[tuple[float, Point]]:
        """Drafts of which least is known, one after another as if the one before were known by then."""
        unsure, found = self._unsure.copy(), []
        for n in range(self.known, self.known + min(most, self.size)):
            place = int(np.argmax(unsure.round(DIGITS)))
            found.append((float(unsure[place]), self.points[place]))
            unsure -= self._row(place, n)[2] ** 2
        return found

    def _grow(self, known: int, size: int) -> None:
        """Room for so many known and so many drafts."""
        had = self._rows.shape
        if known > had[0] or size > had[1]:
            wide = had[1] if size <= had[1] else 2 * size if had[1] else size
            wider = np.zeros((had[0] if known <= had[0] else 2 * known, wide))
            wider[: had[0], : had[1]] = self._rows
            self._rows = wider

    def _alike(self, one: int, others: slice) -> Array:
        apart = np.abs(self._points[others] - self._points[one])
        differs = OTHER * (apart > 0).sum(axis=1) + (1.0 - OTHER) * apart.sum(axis=1)
        off = ((self._seen[others] - self._seen[one]) ** 2).sum(axis=1)
        share = 1.0 - differs / max(1, int((self.tops > 0).sum()))
        alike: Array = SHARED * share + FEW * np.exp(-FALLS * differs) + SCREENED * np.exp(-off / 2)
        return alike

    def guessed(self, mean: Array, spread: Array) -> tuple[Array, Array]:
        """Of each draft its measures, and by how much it passes the line that it passes most.

        Parameters
        ----------
        mean, spread : array
            Of all that is known of any way.
        """
        if self.known:
            mean = self._values.mean(axis=0)
        rest = self._solved - self._ones[:, None] * mean
        wide = np.sqrt(((rest**2).sum(axis=0) + BELIEVED * spread**2) / (self.known + BELIEVED))
        middle = mean + np.einsum("nm,nk->mk", self._rows[: self.known, : self.size], rest)
        unsure = np.sqrt(np.maximum(self._unsure, 0.0) / (SHARED + FEW + SCREENED))
        found = (middle - HOPE * unsure[:, None] * wide).round(DIGITS)
        work = np.where(np.isnan(self._fixed[:, 1]), found[:, 2], self._fixed[:, 1])
        left = 1.0 / (1.0 + np.exp(-found[:, 0]))
        rows = np.column_stack([left, np.exp(found[:, 1]) - HARM, self._fixed[:, 0], work, self._fixed[:, 2]])
        over = middle[:, 3] / (unsure * wide[3] + CLOSE)
        return rows, over.round(DIGITS)


def _dot(some: Array, rows: Array) -> Array:
    """Without the library's threads, which cost more than they save on so little."""
    found: Array = np.einsum("n,nm->m", some, rows)
    return found


def _told(score: Score) -> Array:
    """Of a chance the log odds, of harm the logarithm, which add up better."""
    left, harm, _, minutes, _ = measures(score)
    kept = min(max(left, 1.0 - FAR), FAR)
    over = min(max((x.chance - x.most for x in score.lines), default=-FAR_OVER), FAR_OVER)
    return np.array([np.log(kept / (1.0 - kept)), np.log(harm + HARM), minutes, over])


class Guesses:
    """Of all ways."""

    def __init__(self, ways: Sequence[Way]) -> None:
        self.ways = ways
        self.fields = [Field([len(axis) - 1 for axis in way.axes]) for way in ways]
        self._told: list[tuple[int, Point, Score]] = []

    def add(self, way: int, screened: Mapping[Point, Screen]) -> None:
        """Drafts that pass the screen and are not there yet."""
        one, field = self.ways[way], self.fields[way]
        new = [(p, seen) for p, seen in screened.items() if p not in field.at]
        field.add([Draft(p, seen, one.minutes(p), one.cost(p)) for p, seen in new])

    def tell(self, way: int, point: Point, score: Score) -> None:
        """What a draft came to."""
        self.fields[way].tell(point, score)
        self._told.append((way, point, score))

    def little_known(self, most: int) -> list[tuple[int, Point]]:
        """Of all ways those of which least is known."""
        rows = [
            (-unsure, way, n, point)
            for way, field in enumerate(self.fields)
            for n, (unsure, point) in enumerate(field.little_known(most))
        ]
        return [(way, point) for _, way, _, point in sorted(rows)[:most]]

    def most_promising(self, most: int) -> list[tuple[int, Point]]:
        """Of each measure the one that is guessed to be best in it, where that is better than any known; then
        those that reach furthest beyond all that is sound, one after another. Where nothing is sound, those
        that pass their line least.
        """
        if not self._told:
            return []
        told = np.array([_told(score) for _, _, score in self._told])
        guesses = [field.guessed(told.mean(axis=0), told.std(axis=0)) for field in self.fields]
        rows = np.vstack([rows for rows, _ in guesses])
        over = np.concatenate([over for _, over in guesses])
        first = np.cumsum([0, *(field.size for field in self.fields)])
        new = np.ones(len(rows), bool)
        new[[first[way] + self.fields[way].at[point] for way, point, _ in self._told]] = False
        sound = np.array([measures(s) for _, _, s in self._told if s.sound]).reshape(-1, rows.shape[1])
        places = np.flatnonzero(new)
        if not places.size:
            return []
        found = places[_chosen(rows[places], over[places], sound, most)]
        of = np.searchsorted(first, found, side="right") - 1
        return [(int(way), self.fields[way].points[n - first[way]]) for way, n in zip(of, found, strict=True)]


def _chosen(rows: Array, over: Array, sound: Array, most: int) -> list[int]:
    likely = 1.0 / (1.0 + np.exp(np.clip(LOGISTIC * over, -50.0, 50.0)))
    if not len(sound):
        return [int(n) for n in np.argsort(over, kind="stable")[:most]]
    best = sound[unbeaten(sound)]
    scale = _scale(best)
    rows, best = rows / scale, best / scale
    order = _leading(rows, best, likely > HALF)[:most]
    looked = _looked(rows, best, likely)
    left = ~np.isin(looked, order)
    beyond = _beyond(rows[looked], np.vstack([best, rows[order]]))
    while len(order) < most and left.any():
        worth = np.where(beyond > 0, beyond * likely[looked], beyond)
        top = int(np.argmax(np.where(left, worth, -np.inf)))
        order.append(int(looked[top]))
        left[top] = False
        beyond = np.minimum(beyond, (rows[looked[top]] - rows[looked]).max(axis=1))
    return order


def _beyond(rows: Array, best: Array) -> Array:
    """By how much each is better than its nearest rival in the measure in which it is best against it."""
    found: Array = (best[None, :, :] - rows[:, None, :]).max(axis=2).min(axis=1)
    return found


def _looked(rows: Array, best: Array, likely: Array) -> NDArray[np.intp]:
    """Those that likely reach furthest beyond some of the best."""
    able = np.flatnonzero(likely > UNLIKELY)
    if able.size <= LOOKED:
        return able
    some = best[np.argsort(best[:, 0], kind="stable")[:: max(1, len(best) // COARSE)]]
    worth = _beyond(rows[able], some) * likely[able]
    return np.sort(able[np.argsort(-worth, kind="stable")[:LOOKED]])


def _leading(rows: Array, best: Array, holds: NDArray[np.bool_]) -> list[int]:
    """Of each measure the least, where it is noticeably less than any known."""
    able = np.flatnonzero(holds)
    if not able.size:
        return []
    tops = [(k, int(able[np.argmin(rows[able, k])])) for k in range(rows.shape[1])]
    return list(dict.fromkeys(n for k, n in tops if rows[n, k] < best[:, k].min() - 1.0 / LEAST_SCALE))


def _scale(rows: Array) -> Array:
    least = np.array([LEAST_SCALE * alike for alike in ALIKE.values()])
    span: Array = np.maximum(rows.max(axis=0) - rows.min(axis=0), least)
    return span
