"""A way with fewer values on its axes, so that all of its points can be simulated."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

import numpy as np

from tankward.model.rows import Array
from tankward.room.acts import AnyAct
from tankward.treat.course.records import Course
from tankward.treat.planner.dosed import Axes
from tankward.treat.planner.records import Point
from tankward.treat.planner.way import Screen, Way
from tankward.treat.planner.whole import Whole


def names_of(way: Way) -> tuple[str, ...]:
    """What its axes are called."""
    return way.names if isinstance(way, Whole) else Axes._fields


class Cut(Way):
    """The same way; of each axis that is named so many values, evenly spread, the published among them."""

    def __init__(self, inner: Way, values: Mapping[str, int]) -> None:
        self.inner, self.option, self.place = inner, inner.option, inner.place
        self.kept = tuple(
            _kept(len(axis), values.get(name, len(axis)), usual)
            for name, axis, usual in zip(names_of(inner), inner.axes, inner.published, strict=True)
        )
        self.axes = tuple(
            tuple(axis[k] for k in kept) for axis, kept in zip(inner.axes, self.kept, strict=True)
        )

    def whole(self, point: Point) -> Point:
        """The same point of the whole way."""
        return tuple(kept[n] for kept, n in zip(self.kept, point, strict=True))

    @property
    def published(self) -> Point:
        return tuple(kept.index(n) for kept, n in zip(self.kept, self.inner.published, strict=True))

    def screen(self, points: Sequence[Point], weights: Array, by: datetime) -> list[Screen | None]:
        return self.inner.screen([self.whole(p) for p in points], weights, by)

    def acts(self, point: Point) -> list[tuple[datetime, AnyAct]] | None:
        return self.inner.acts(self.whole(point))

    def ends(self, point: Point) -> datetime:
        return self.inner.ends(self.whole(point))

    def course(self, point: Point) -> Course:
        return self.inner.course(self.whole(point))

    def minutes(self, point: Point) -> float | None:
        return self.inner.minutes(self.whole(point))

    def cost(self, point: Point) -> float | None:
        return self.inner.cost(self.whole(point))


def _kept(size: int, most: int, usual: int) -> tuple[int, ...]:
    if most >= size:
        return tuple(range(size))
    spread = np.linspace(0, size - 1, max(most, 1)).round().astype(int).tolist()
    if usual not in spread:
        nearest = min(range(len(spread)), key=lambda k: abs(spread[k] - usual))
        spread[nearest] = usual
    return tuple(sorted(spread))
