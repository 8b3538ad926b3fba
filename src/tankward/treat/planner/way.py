"""What the search needs of a remedy: axes of choices, and what a point of them is, screened and laid out."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from tankward.model.rows import Array
from tankward.room.acts import AnyAct
from tankward.treat.course.records import Course
from tankward.treat.remedies.records import Option

from .records import Point


class Screen(NamedTuple):
    """A draft by the substance alone: chance of passing a line, hours at work, days, number of steps."""

    over: float
    at_work_h: float
    days: float
    steps: int


class Way(ABC):
    """One remedy and all the ways of giving it that are looked at."""

    option: Option
    axes: tuple[tuple[object, ...], ...]
    place: str = "tank"

    @property
    @abstractmethod
    def published(self) -> Point:
        """As it is published or usual."""

    @abstractmethod
    def screen(self, points: Sequence[Point], weights: Array, by: datetime) -> list[Screen | None]:
        """A first look at many points; None where one can't be done."""

    def acts(self, point: Point) -> list[tuple[datetime, AnyAct]] | None:
        """What the tank's water meets, where that is known without the course; None: make the course."""
        return None

    def ends(self, point: Point) -> datetime:
        """When it is over."""
        return self.course(point).ends

    @abstractmethod
    def course(self, point: Point) -> Course:
        """The whole course."""

    def link(self, point: Point) -> dict[str, object]:
        """What makes the same course again, beside substance, route and regimen."""
        return {}

    def cost(self, point: Point) -> float | None:
        """What the packets cost; None: not known."""
        return None

    def minutes(self, point: Point) -> float | None:
        """The keeper's time for all of it, where that is known without the course. [min]"""
        return None

    def simpler(self, point: Point) -> list[tuple[str, Point]]:
        """The same with one thing left out: what kind, and the point."""
        return []

    def size(self) -> int:
        """How many points there are."""
        found = 1
        for axis in self.axes:
            found *= len(axis)
        return found
