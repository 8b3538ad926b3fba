"""What a draft will come to, guessed from those that were simulated: which of many to simulate next.

Drafts that are alike in most choices come to nearly the same, so each is guessed as a weighted mean of those
known, by how many choices they share and how alike they are by the screen (kriging). A guess is taken a
little better than it is where little is known nearby. It only sets the order of what is simulated.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tankward.model.rows import Array

from .front import ALIKE, measures, unbeaten
from .records import Point, Score
from .way import Screen

# How alike two drafts are: by the share of choices in common, by how few differ, by the screen. [our own]
SHARED, FEW, SCREENED = 0.5, 1.0, 0.3
FALLS = 0.15  # of the second, for each choice that differs
NOISE = 1e-3
HOPE = 0.6  # standard deviations by which a guess is taken for better
LEAST_SCALE = 50.0  # differences that anybody would notice make one scale at least
DIGITS = 6
FAR = 0.9999  # a chance nearer to certainty counts as this


class Draft(NamedTuple):
    """A point of a way, with what the screen says of it."""

    way: int
    point: Point
    screen: Screen


class Guess(NamedTuple):
    """Of each draft: its measures, and by how much it passes the line that it passes most."""

    rows: Array
    over: Array


def guessed(known: Sequence[tuple[Draft, Score]], asked: Sequence[Draft]) -> Guess:
    """Guesses from what is known of the same way; of a way without any the mean of all."""
    told = np.array([_told(score) for _, score in known])
    mean, spread = told.mean(axis=0), told.std(axis=0)
    found = np.repeat(mean[None, :], len(asked), axis=0)
    for way in {d.way for d in asked}:
        near = [n for n, (d, _) in enumerate(known) if d.way == way]
        mine = [n for n, d in enumerate(asked) if d.way == way]
        if near:
            found[mine] = _kriged([known[n][0] for n in near], told[near], [asked[n] for n in mine], spread)
    found = found.round(DIGITS)
    rows = found[:, :-1]
    rows[:, 0] = 1.0 / (1.0 + np.exp(-rows[:, 0]))
    rows[:, 2] = [d.screen.days for d in asked]
    return Guess(rows, found[:, -1])


def _told(score: Score) -> list[float]:
    """Of a chance the log odds, which add up better."""
    left, *rest = measures(score)
    kept = min(max(left, 1.0 - FAR), FAR)
    return [
        float(np.log(kept / (1.0 - kept))),
        *rest,
        max((x.chance - x.most for x in score.lines), default=0),
    ]


def _kriged(near: Sequence[Draft], told: Array, asked: Sequence[Draft], spread: Array) -> Array:
    points = np.array([d.point for d in near]), np.array([d.point for d in asked])
    seen = [
        np.array([(np.log1p(d.screen.at_work_h), d.screen.days, d.screen.steps) for d in drafts])
        for drafts in (near, asked)
    ]
    middle, width = seen[0].mean(axis=0), seen[0].std(axis=0) + 1e-9
    known, new = ((rows - middle) / width for rows in seen)
    among = _alike(points[0], points[0], known, known) + NOISE * np.eye(len(near))
    across = _alike(points[1], points[0], new, known)
    mean = told.mean(axis=0)
    solved = np.linalg.solve(among, np.column_stack([told - mean, across.T]))
    unsure = np.sqrt(
        np.maximum(SHARED + FEW + SCREENED - (across * solved[:, told.shape[1] :].T).sum(axis=1), 0)
    )
    found: Array = mean + across @ solved[:, : told.shape[1]] - HOPE * unsure[:, None] * spread
    return found


def _alike(some: Array, others: Array, seen: Array, seen_others: Array) -> Array:
    differs = (some[:, None, :] != others[None, :, :]).sum(axis=2)
    apart = ((seen[:, None, :] - seen_others[None, :, :]) ** 2).sum(axis=2)
    share = 1.0 - differs / some.shape[1]
    alike: Array = SHARED * share + FEW * np.exp(-FALLS * differs) + SCREENED * np.exp(-apart / 2)
    return alike


def most_promising(known: Sequence[tuple[Draft, Score]], asked: Sequence[Draft], most: int) -> list[Draft]:
    """The one that is guessed to be best in each measure, where that is better than any known; then those
    that reach furthest beyond all that is sound, one after another. Where nothing is sound, those that pass
    their line least.
    """
    guess = guessed(known, asked)
    sound = np.array([measures(s) for _, s in known if s.sound]).reshape(-1, guess.rows.shape[1])
    scale = _scale(sound if len(sound) else guess.rows)
    rows, best = guess.rows / scale, sound / scale
    best = best[unbeaten(best)]
    holds = guess.over <= 0.0
    order = _leading(rows, best, holds)[:most]
    left = np.ones(len(asked), bool)
    left[order] = False
    best = np.vstack([best, rows[order]])
    while len(order) < most and left.any():
        beyond = (best[None, :, :] - rows[:, None, :]).max(axis=2).min(axis=1) if len(best) else -guess.over
        worth = np.where(holds, beyond, -guess.over - len(scale))
        top = int(np.argmax(np.where(left, worth, -np.inf)))
        order.append(top)
        left[top] = False
        if holds[top]:
            best = np.vstack([best, rows[top]])
    return [asked[n] for n in order]


def _leading(rows: Array, best: Array, holds: NDArray[np.bool_]) -> list[int]:
    """Of each measure the least, where it is noticeably less than any known."""
    if not holds.any() or not len(best):
        return []
    able = np.flatnonzero(holds)
    tops = [(k, int(able[np.argmin(rows[able, k])])) for k in range(rows.shape[1])]
    return list(dict.fromkeys(n for k, n in tops if rows[n, k] < best[:, k].min() - 1.0 / LEAST_SCALE))


def _scale(rows: Array) -> Array:
    least = np.array([LEAST_SCALE * alike for alike in ALIKE.values()])
    span: Array = np.maximum(rows.max(axis=0) - rows.min(axis=0), least)
    return span
