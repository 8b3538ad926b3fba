"""Acts into a score: one tank made ready once, then every course by the same draws.

Steps are as long as the methods are stable: that moves a chance by less than a thousandth, a tenth of what
the number of draws does (`tests/model/test_prospect.py`).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from threading import Lock

import numpy as np

from tankward.knowledge.known import Facts
from tankward.model.clearance import holds_of
from tankward.model.judged import Judged
from tankward.model.judging import Prospect
from tankward.model.lowered import Lowered, lowered
from tankward.model.prospect import prospect
from tankward.model.rows import Array
from tankward.model.suspect import Suspect
from tankward.room.acts import AnyAct
from tankward.room.replay import Room
from tankward.treat.course.acts import planned_acts, tub_acts
from tankward.treat.course.beside import Beside, left_at, together
from tankward.treat.course.records import Course
from tankward.treat.course.request import CourseRequest

from .records import Score, Wishes
from .score import Seen, Top, days_from, minutes_of_course, scored

Acts = Sequence[tuple[datetime, AnyAct]]
NONE = 1e-12  # of an organism on one fish: none


class Judging:
    """One tank and what is suspected in it; a prospect of so many draws is made when first asked for."""

    def __init__(
        self,
        room: Room,
        request: CourseRequest,
        suspects: Sequence[Suspect],
        now: datetime,
        by: datetime,
        facts: Facts,
        wishes: Wishes,
    ) -> None:
        self.room, self.tank, self.suspects = room, request.tank.id, tuple(suspects)
        self.now, self.by, self.facts, self.wishes = now, by, facts, wishes
        self._made: dict[int, Prospect] = {}
        self._untouched: dict[int, Lowered] = {}
        self._left: dict[int, Score] = {}
        self._beside: dict[int, Beside] = {}
        self._lock = Lock()

    def prospect(self, draws: int) -> Prospect:
        """The tank as it stands now, with so many draws."""
        with self._lock:
            if draws not in self._made:
                days = (self.by - self.now) / timedelta(days=1)
                self._made[draws] = prospect(
                    self.room, self.tank, self.now, self.facts, days=days, suspects=self.suspects, draws=draws
                )
            return self._made[draws]

    def weights(self, draws: int) -> Array:
        """How far each draw is believed."""
        return self.prospect(draws).weights

    def seen(self, acts: Acts, draws: int) -> Seen:
        """What the model says of these acts."""
        found = self.prospect(draws)
        if self._low(found):
            return self._lowered(found, acts)
        return self._seen(found, found.judged(acts, [self.by], coarse=True))

    def seen_course(self, course: Course, draws: int) -> Seen:
        """The same of a course, in the tank and in the tub beside it."""
        if not any(step.tub for step in course.steps):
            return self.seen(planned_acts(course), draws)
        found, beside = self.prospect(draws), self.beside(draws)
        if self._low(found):
            return self._lowered_apart(found, beside, course)
        judged = beside.judged(course, self.by, coarse=True)
        return self._seen(found, judged)

    def beside(self, draws: int) -> Beside:
        """The tubs beside the tank."""
        found = self.prospect(draws)
        with self._lock:
            if draws not in self._beside:
                self._beside[draws] = Beside(found, self.room, self.tank, self.facts)
            return self._beside[draws]

    @staticmethod
    def _low(found: Prospect) -> bool:
        """Whether something suspected is never quite gone."""
        lives = (one.life.organism.structure for one in found.suspected.values())
        return any(holds_of(structure) != "cautious-bound" for structure in lives)

    def _lowered_apart(self, found: Prospect, beside: Beside, course: Course) -> Seen:
        """Of what is never gone, on the fish in the tub: against the tank over the same days."""
        tank, tub = beside.apart(course, self.by, coarse=True)
        both = together(tank, tub)
        clear: Array | None = None
        there = beside.tub(course)
        if there is not None:
            until = left_at(course, self.by, there)
            acts = [(max(at, there.now), act) for at, act in tub_acts(course) if at <= until]
            made = lowered(there, acts, until, coarse=True)
            alone = lowered(found, (), until, coarse=True)
            clear = _less(made, alone)
        return Seen(
            peaks=both.peaks, lowest=both.lowest, goal="brought-low", clear=clear, weights=found.weights,
            clear_weights=self._told(found),
        )  # fmt: skip

    def _seen(self, found: Prospect, judged: Judged) -> Seen:
        clear: Array | None = None
        if judged.gone and not judged.withheld:
            clear = np.prod([gone.chance[-1] for gone in judged.gone.values()], axis=0)
        return Seen(
            peaks=judged.peaks, lowest=judged.lowest, goal="gone", clear=clear, weights=found.weights,
            clear_weights=self._told(found),
        )  # fmt: skip

    def _lowered(self, found: Prospect, acts: Acts) -> Seen:
        """Of what is never gone: by how much less of it sits on the fish than if nothing were done."""
        made, alone = lowered(found, acts, self.by, coarse=True), self._alone(found)
        clear = _less(made, alone)
        return Seen(
            peaks=made.peaks, lowest=made.lowest, goal="brought-low", clear=clear, weights=found.weights,
            clear_weights=self._told(found),
        )  # fmt: skip

    def _alone(self, found: Prospect) -> Lowered:
        with self._lock:
            if found.draws not in self._untouched:
                self._untouched[found.draws] = lowered(found, (), self.by, coarse=True)
            return self._untouched[found.draws]

    def _told(self, found: Prospect) -> Array:
        """Weights by what looks told of the first organism; without one those of the water."""
        return found.weights_of(next(iter(found.suspected), ""))

    def scored(
        self,
        acts: Acts,
        tops: Sequence[Top],
        draws: int,
        *,
        days: float,
        minutes: tuple[float, float],
        cost: float | None,
    ) -> Score:
        """The score of any acts in the tank."""
        own, seen = self._own(draws), self.seen(acts, draws)
        return scored(
            seen,
            tops,
            self.wishes,
            days=days,
            minutes=minutes,
            cost=cost,
            alone=own,
            harm_alone=self.left_alone(draws).harm,
        )

    def scored_course(self, course: Course, tops: Sequence[Top], draws: int, cost: float | None) -> Score:
        """The score of a course, by its own acts."""
        return scored(
            self.seen_course(course, draws), tops, self.wishes, days=days_from(self.now, course.ends),
            minutes=minutes_of_course(course, self.facts), cost=cost, alone=self._own(draws),
            harm_alone=self.left_alone(draws).harm,
        )  # fmt: skip

    def _own(self, draws: int) -> dict[str, float]:
        """The chance of each line of the water with nothing done."""
        return {line.about: line.chance for line in self.left_alone(draws).lines}

    def left_alone(self, draws: int = 256) -> Score:
        """If nothing is done."""
        if draws not in self._left:
            seen = self.seen((), draws)
            self._left[draws] = scored(seen, (), self.wishes, days=0.0, minutes=(0.0, 0.0), cost=0.0)
        return self._left[draws]


def _less(made: Lowered, alone: Lowered) -> Array | None:
    """By which share less sits on the fish, of what is brought down least; None: nobody can say."""
    if not made.load or made.withheld:
        return None
    shares = [made.load[o] / np.maximum(alone.load[o], NONE) for o in made.load]
    return np.asarray(np.clip(1.0 - np.max(shares, axis=0), 0.0, 1.0))
