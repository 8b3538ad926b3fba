"""A remedy whose courses are few: each is made whole, and looked at as it is."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime

from tankward.model.rows import Array
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.room.hours import Hours
from tankward.treat.course.records import Course
from tankward.treat.course.shape import Shape
from tankward.treat.course.within_hours import ANY_HOUR
from tankward.treat.remedies.records import Option

from .records import Point
from .score import days_from
from .way import Screen, Way

Make = Callable[..., Course]


class Whole(Way):
    """Axes by name; `make` takes one value of each and gives the course or refuses it."""

    def __init__(
        self,
        option: Option,
        make: Make,
        choices: Mapping[str, Sequence[object]],
        now: datetime,
        *,
        hours: tuple[Hours, str] | None = None,
        care: Callable[..., Shape | None] | None = None,
        simpler: Mapping[str, str] | None = None,
    ) -> None:
        self.option, self._make, self.now = option, make, now
        self.names = tuple(choices)
        self.axes = tuple(tuple(values) for values in choices.values())
        self._simpler, self._care, self._hours = simpler or {}, care, hours
        self._kept: dict[Point, Course | None] = {}
        self.refused: dict[Point, tuple[Reason, ...]] = {}

    @property
    def published(self) -> Point:
        return (0,) * len(self.axes)

    def values(self, point: Point) -> dict[str, object]:
        """One value of each axis."""
        return {name: axis[n] for name, axis, n in zip(self.names, self.axes, point, strict=True)}

    def tried(self, point: Point) -> Course | None:
        """The course; None where it is refused or can't be made here."""
        if point not in self._kept:
            try:
                self._kept[point] = self._at_home(self._make(**self.values(point)))
            except Refused as no:
                self._kept[point], self.refused[point] = None, no.reasons
            except BadInput as fault:
                self._kept[point] = None
                self.refused[point] = (Reason(kind="not-known", because=str(fault)),)
        return self._kept[point]

    def _at_home(self, course: Course) -> Course:
        """The course, where somebody is there for all that is done.

        Raises
        ------
        Refused
            Else; where no hours were said, nobody was said to be away.
        """
        if self._hours is None:
            return course
        hours, zone = self._hours
        missed = [s.at for s in course.steps if s.kind not in ANY_HOUR and not hours.holds(s.at, zone)]
        if missed:
            raise Refused(
                Reason(
                    kind="not-at-home",
                    because=f"Nobody is there for {len(missed)} of its steps ({hours.said}).",
                    would_change="somebody who does them, or other hours",
                )
            )
        return course

    def screen(self, points: Sequence[Point], weights: Array, by: datetime) -> list[Screen | None]:
        """Whatever can be made passes: whom its level harms is judged as it is made."""
        found: list[Screen | None] = []
        for point in points:
            course = self.tried(point)
            if course is None:
                found.append(None)
                continue
            days = days_from(self.now, course.ends)
            found.append(Screen(over=0.0, at_work_h=24.0 * days, days=days, steps=len(course.steps)))
        return found

    def course(self, point: Point) -> Course:
        course = self.tried(point)
        if course is None:
            raise Refused(*self.refused[point])
        return course

    def link(self, point: Point) -> dict[str, object]:
        """What makes the same course again."""
        values = self.values(point)
        shape = self._care(**values) if self._care else None
        return {
            "shape": shape.text if shape else "", "level": values.get("level"), "days": values.get("days"),
            "every_h": values.get("every_h"),
        }  # fmt: skip

    def simpler(self, point: Point) -> list[tuple[str, Point]]:
        """The first value of each axis that can be left out."""
        found = []
        for name, kind in self._simpler.items():
            k = self.names.index(name)
            if point[k] > 0:
                found.append((kind, (*point[:k], 0, *point[k + 1 :])))
        return found
