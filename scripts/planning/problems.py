"""Problems for the planner: a tank, a cause, the keeper's hours, and how many values of each axis."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from datetime import datetime
from functools import cached_property
from typing import NamedTuple

from tankward.knowledge.known import Facts
from tankward.model.rows import Array
from tankward.model.suspect import of_causes
from tankward.room.hours import hours_of
from tankward.room.replay import Room
from tankward.room.text import room_of_text
from tankward.treat.course.request import request_from_room
from tankward.treat.planner.judging import Judging
from tankward.treat.planner.plan import GERMS, SCREEN, _Planner, by_day, make_plan
from tankward.treat.planner.records import Plan, Point, Score, Wishes
from tankward.treat.planner.search import Budget, Found, search
from tankward.treat.planner.then import of_first_turn
from tankward.treat.planner.way import Way
from tankward.treat.planner.ways import Ways, setting, ways_of
from tankward.treat.remedies.options import options

from .cut import Cut
from .rooms import NOW

SCREENED = 5000
Key = tuple[int, Point]


class Problem(NamedTuple):
    """What is asked. `most`: chance that a line may be passed by, where less is asked for than usual; `cut`:
    of which remedies so many values on an axis; none: all remedies, whole.
    """

    name: str
    log: str
    causes: tuple[str, ...]
    tank: str = ""  # the only one, where none is named
    hours: str = ""
    most: Mapping[str, float] = {}
    cut: Mapping[str, Mapping[str, int]] = {}


class Ready:
    """A problem made ready. What was simulated for one rival is not simulated again for another."""

    def __init__(self, problem: Problem, facts: Facts, room: Room | None = None) -> None:
        self.problem, self.facts = problem, facts
        self.room = room_of_text(problem.log) if room is None else room
        tank = problem.tank or next(iter(self.room.tanks))
        self.request = asked = request_from_room(
            self.room, tank, facts, NOW, causes=problem.causes, not_there=("fry", "egg")
        )
        hours = hours_of(problem.hours, NOW) if problem.hours else None
        self.wishes = Wishes(hours=hours, most=problem.most)
        self.here = setting(asked, self.wishes, NOW, facts)
        self.options = options(
            problem.causes, asked.stock, facts, volume_l=asked.volume_l, water=asked.water,
            region=asked.kit.region, shelf=asked.shelf, still_in=asked.still_in, findings=asked.findings,
            seen=asked.seen, trials=asked.trials, not_there=asked.not_there,
        )  # fmt: skip
        causes, remedies = of_first_turn(self.options)
        ways = ways_of(remedies, self.here).ways
        if problem.cut:
            by_id = {w.option.id: w for w in ways}
            ways = tuple(Cut(by_id[id_], values) for id_, values in problem.cut.items())
        self.ways: tuple[Way, ...] = ways
        self.by: datetime = by_day(asked, causes, self.wishes, NOW, facts)
        suspects = of_causes([(cause, None) for cause in causes], facts)[:GERMS]
        self.judging = Judging(self.room, asked, suspects, NOW, self.by, facts, self.wishes)
        self.planner = _Planner(Ways(ways, ()), self.judging, self.wishes, self.by, NOW, facts)
        self.kept: dict[Key, Score] = {}

    def plan(self, budget: Budget) -> Plan:
        """As a keeper gets it, over whole ways."""
        return make_plan(
            self.room, self.request, self.options, self.wishes, NOW, self.facts, budget=budget,
            look_further=False,
        )  # fmt: skip

    def score(self, way: int, point: Point) -> Score:
        """As a plan scores a draft."""
        key = (way, point)
        if key not in self.kept:
            self.kept[key] = self.planner.draft_score(self.ways[way], point, SCREEN)
        return self.kept[key]

    @cached_property
    def weights(self) -> Array:
        """Of the draws."""
        return self.judging.weights(SCREEN)

    def laid_out(self, keys: Sequence[Key]) -> list[Key]:
        """Those for whose steps somebody is there."""
        found: list[Key] = []
        for n, way in enumerate(self.ways):
            points = [p for m, p in keys if m == n]
            rows = zip(points, way.screen(points, self.weights, self.by), strict=True)
            found += [(n, p) for p, seen in rows if seen is not None]
        return found

    @cached_property
    def points(self) -> list[Key]:
        """Every point that can be done, whatever the screen thinks of it."""
        every = [
            (n, p)
            for n, way in enumerate(self.ways)
            for p in itertools.product(*(range(len(axis)) for axis in way.axes))
        ]
        return self.laid_out(every)

    def enumerated(self) -> list[Score]:
        """All of them, simulated."""
        return [self.score(*key) for key in self.points]

    def searched(self, simulated: int) -> list[Found]:
        """What the planner finds with so many simulations."""
        return list(
            search(
                self.ways, self.score, self.weights, self.by, self.wishes,
                budget=Budget(SCREENED, simulated, 0),
            ).found
        )  # fmt: skip
