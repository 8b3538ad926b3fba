"""Curves as path data: as few points as the eye allows, both points of every jump."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from .records import Curve

TOLERANCE_PX = 0.12  # with coordinates rounded to a tenth nothing lies more than 0.2 px off


def simplify(x: Curve, y: Curve, tolerance: float = TOLERANCE_PX) -> NDArray[np.intp]:
    """Indices of the points that stay (Douglas-Peucker), with both ends of every jump.

    Parameters
    ----------
    x, y : array
        A curve on paper, x never falling; equal x is a jump. [px]
    tolerance
        How far a dropped point may lie from the line that replaces it. [px]
    """
    if x.size == 0:
        return np.empty(0, np.intp)
    keep = np.zeros(x.size, bool)
    jumps = np.flatnonzero(np.diff(x) <= 0)
    keep[[0, x.size - 1, *jumps, *(jumps + 1)]] = True
    ends = np.flatnonzero(keep)
    pieces = list(pairwise(ends))
    while pieces:
        first, last = pieces.pop()
        if last - first < 2:
            continue
        off = _distance(x[first : last + 1], y[first : last + 1])
        worst = int(np.argmax(off))
        if off[worst] > tolerance:
            middle = first + worst
            keep[middle] = True
            pieces += [(first, middle), (middle, last)]
    return np.flatnonzero(keep)


def _distance(x: Curve, y: Curve) -> Curve:
    """Of every point from the straight piece between the first and the last."""
    dx, dy = x[-1] - x[0], y[-1] - y[0]
    length2 = dx * dx + dy * dy
    if length2 == 0:
        return np.asarray(np.hypot(x - x[0], y - y[0]))
    t = np.clip(((x - x[0]) * dx + (y - y[0]) * dy) / length2, 0, 1)
    return np.asarray(np.hypot(x - x[0] - t * dx, y - y[0] - t * dy))


def whole_runs(*curves: Curve) -> list[slice]:
    """Stretches without a gap in any curve: what is missing is not drawn across."""
    known = np.all([np.isfinite(c) for c in curves], axis=0)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], known, [False]]).astype(int)))
    return [slice(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def path(x: Curve, y: Curve) -> str:
    """A simplified curve, one piece for each stretch without a gap."""
    parts = []
    for run in whole_runs(y):
        kept = simplify(x[run], y[run])
        parts.append(_written(x[run][kept], y[run][kept]))
    return "".join(parts)


def fan(x: Curve, low: Curve, high: Curve) -> str:
    """The area between two curves."""
    parts = []
    for run in whole_runs(low, high):
        up, down = simplify(x[run], high[run]), simplify(x[run], low[run])[::-1]
        xs = np.concatenate([x[run][up], x[run][down]])
        ys = np.concatenate([high[run][up], low[run][down]])
        parts.append(_written(xs, ys) + "z")
    return "".join(parts)


def _written(x: Curve, y: Curve) -> str:
    """Relative moves in tenths of a pixel, differences of rounded places so that nothing drifts."""
    xt, yt = np.rint(10 * x).astype(int), np.rint(10 * y).astype(int)
    start = f"M{_tenths(xt[0])} {_tenths(yt[0])}"
    moves = [f"{_tenths(a)} {_tenths(b)}" for a, b in zip(np.diff(xt), np.diff(yt), strict=True)]
    return start + ("l" + " ".join(moves) if moves else "")


def _tenths(n: int) -> str:
    """As short as it can be written: .5 and -.5 for half a pixel."""
    return f"{n / 10:g}".replace("0.", ".", 1) if 0 < abs(n) < 10 else f"{n / 10:g}"


def cut(x: Curve, y: Curve, at: float) -> tuple[tuple[Curve, Curve], tuple[Curve, Curve]]:
    """The curve before and after a place, both with the point there."""
    n = int(np.searchsorted(x, at, side="right"))
    if n == 0 or n == x.size:
        nothing = np.empty(0), np.empty(0)
        return (nothing, (x, y)) if n == 0 else ((x, y), nothing)
    height = float(np.interp(at, x[n - 1 : n + 1], y[n - 1 : n + 1]))
    before = np.append(x[:n], at), np.append(y[:n], height)
    after = np.insert(x[n:], 0, at), np.insert(y[n:], 0, height)
    return before, after
