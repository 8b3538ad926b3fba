"""Acts into a score: one tank made ready once, then every course by the same draws."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from threading import Lock

import numpy as np

from tankward.knowledge.known import Facts
from tankward.model.clearance import holds_of
from tankward.model.judging import Prospect
from tankward.model.lowered import Lowered, lowered
from tankward.model.prospect import prospect
from tankward.model.rows import Array
from tankward.model.suspect import Suspect
from tankward.room.acts import AnyAct
from tankward.room.replay import Room
from tankward.treat.course.request import CourseRequest

from .records import Score, Wishes
from .score import Seen, Top, scored, tops_of_option
from .way import Way

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
        if any(holds_of(one.life.organism.structure) != "cautious-bound" for one in found.suspected.values()):
            return self._lowered(found, acts)
        judged = found.judged(acts, [self.by])
        clear: Array | None = None
        if judged.gone and not judged.withheld:
            clear = np.prod([gone.chance[-1] for gone in judged.gone.values()], axis=0)
        return Seen(
            peaks=judged.peaks, lowest=judged.lowest, goal="gone", clear=clear, weights=found.weights,
            clear_weights=self._told(found),
        )  # fmt: skip

    def _lowered(self, found: Prospect, acts: Acts) -> Seen:
        """Of what is never gone: by how much less of it sits on the fish than if nothing were done."""
        made, alone = lowered(found, acts, self.by), self._alone(found)
        clear: Array | None = None
        if made.load and not made.withheld:
            shares = [made.load[o] / np.maximum(alone.load[o], NONE) for o in made.load]
            clear = np.clip(1.0 - np.max(shares, axis=0), 0.0, 1.0)
        return Seen(
            peaks=made.peaks, lowest=made.lowest, goal="brought-low", clear=clear, weights=found.weights,
            clear_weights=self._told(found),
        )  # fmt: skip

    def _alone(self, found: Prospect) -> Lowered:
        with self._lock:
            if found.draws not in self._untouched:
                self._untouched[found.draws] = lowered(found, (), self.by)
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
        """The score of any acts."""
        alone = {line.about: line.chance for line in self.left_alone(draws).lines} if acts else {}
        seen = self.seen(acts, draws)
        return scored(seen, tops, self.wishes, days=days, minutes=minutes, cost=cost, alone=alone)

    def score(
        self,
        acts: Acts,
        way: Way,
        draws: int,
        *,
        days: float,
        minutes: tuple[float, float],
        cost: float | None,
    ) -> Score:
        """The score of a draft of a way."""
        tops = tops_of_option(way.option, self.facts)
        return self.scored(acts, tops, draws, days=days, minutes=minutes, cost=cost)

    def left_alone(self, draws: int = 256) -> Score:
        """If nothing is done."""
        if draws not in self._left:
            seen = self.seen((), draws)
            self._left[draws] = scored(seen, (), self.wishes, days=0.0, minutes=(0.0, 0.0), cost=0.0)
        return self._left[draws]
