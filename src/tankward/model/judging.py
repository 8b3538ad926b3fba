"""Courses judged one after another from a tank as it stands now: one run of the water each, and for each
suspect one pass back to now (`judged.py`). How it came to stand so: `prospect.py`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime, timedelta

import msgspec
import numpy as np

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.acts import Air, AnyAct, Clean, Feed

from . import bands
from .clearance import Gone, gone_by
from .draws import COUNTS
from .events import Event, Stocked, Timed
from .follow import met
from .judged import Judged
from .memo import Memo
from .organisms import Life, life_of
from .outbreak import Course, coarse_min, run, step_min
from .resume import Onward, Stopped, first
from .rows import Array
from .simulate import minutes
from .surroundings import Surroundings, Water
from .suspect import Suspect
from .watched import Watched, watched

DAY_MIN = 1440
Leaving = Callable[[Sequence[tuple[datetime, AnyAct]]], Iterable[tuple[datetime, Event]]]


class Suspected(msgspec.Struct, frozen=True, kw_only=True):
    """An organism as it stands now in each draw; `left`: share of the fish that the dead leave (1: none)."""

    suspect: Suspect
    life: Life
    rows: Array
    weights: Array
    infected_d: float
    done: tuple[Timed, ...]
    left: float = 1.0


class Prospect:
    """A tank as it stands now. Nothing in it changes, so any number of threads may ask it at once.

    `weights`: of its draws, by what was read; they add up to 1. `end`: the last minute that can be asked for,
    `here`: now, both as its own minutes.
    """

    def __init__(
        self,
        water: Stopped,
        weights: Array,
        facts: Facts,
        *,
        days: float,
        highest: dict[str, Array],
        suspected: Sequence[Suspected],
        leaves: Leaving,
    ) -> None:
        self.water, self.weights, self.facts = water, weights, facts
        self.onward = Onward(water, facts)
        self.suspected = {one.life.organism.id: one for one in suspected}
        self.here, self.days = water.minute, days
        self.end = water.minute + round(days * DAY_MIN)
        self._highest, self._leaves = highest, leaves
        self._memos = {name: Memo(water.draws) for name in self.suspected}

    @property
    def draws(self) -> int:
        """How many draws."""
        return self.water.draws

    @property
    def now(self) -> datetime:
        """From here on courses are judged."""
        return self.water.start + timedelta(minutes=self.here)

    def weights_of(self, organism: str = "") -> Array:
        """Of the draws, by what was read and, of an organism, by what looks told; they add up to 1."""
        return self.suspected[organism].weights if organism else self.weights

    def chance(self, happens: Array, organism: str = "") -> float:
        """Share of the weight in which something is so; of an organism by what looks told of it."""
        return bands.chance(happens, self.weights_of(organism))

    def mean(self, values: Array, organism: str = "") -> float:
        """Weighted mean of one number for each draw: so of chances that an organism is gone."""
        return float(values @ self.weights_of(organism))

    def band(self, values: Array, organism: str = "") -> Estimate:
        """Median with 5th and 95th centile of one number for each draw."""
        return bands.band(values, self.weights_of(organism))

    def judged(
        self,
        acts: Sequence[tuple[datetime, AnyAct]],
        days: Sequence[int | datetime] = (),
        *,
        coarse: bool = False,
    ) -> Judged:
        """What a course makes of the water and of what is suspected, from now to the last of the days.

        Parameters
        ----------
        acts : sequence of (instant, act)
            What is going to be done, from now on. Of the minute in which something was done just now, it is
            done in the next.
        days : sequence of int or datetime
            By when the organisms should be gone: minutes from now, or instants. None: to the end of the
            prospect, and no chance is asked for.
        coarse : bool
            With steps as long as the methods are stable, to choose among many.

        Returns
        -------
        Judged
            Arrays of one number for each draw. Peaks count between two records too, as in a forecast. The
            minutes of `gone` are from now.

        Raises
        ------
        BadInput
            If a day lies outside of the prospect, or an act before now.
        """
        planned, ends = self.planned(acts), [self.minute(day) for day in days]
        seen = self.seen(planned, max(ends, default=self.end), coarse=coarse)
        gone: dict[str, Gone] = {}
        withheld: dict[str, tuple[str, ...]] = {}
        for name, one in self.suspected.items():
            found = self._gone(one, planned, seen.water, ends, coarse)
            if isinstance(found, tuple):
                withheld[name] = found
            elif found is not None:
                gone[name] = found
        return Judged(
            peaks=seen.peaks, lowest=seen.lowest, gone=gone, withheld=withheld, in_fish=seen.in_fish
        )

    def first(self, draws: int) -> Prospect:
        """The same with its first draws alone.

        Raises
        ------
        BadInput
            If so many are not kept, or it has no more.
        """
        if draws not in COUNTS or draws > self.draws:
            raise BadInput("draws", str(draws), f"is not kept; there are {self.draws}.")
        told = tuple(_narrowed(one, draws, self.facts) for one in self.suspected.values())
        return Prospect(
            first(self.water, draws),
            _part(self.weights, draws),
            self.facts,
            days=self.days,
            highest={name: levels[:draws] for name, levels in self._highest.items()},
            suspected=told,
            leaves=self._leaves,
        )

    def minute(self, day: int | datetime) -> int:
        """A day that is asked for, as a minute of its own."""
        minute = minutes(day, self.water.start) if isinstance(day, datetime) else self.here + int(day)
        if not self.here < minute <= self.end:
            raise BadInput("days", str(day), f"lies outside of the {self.days:g} days from now.")
        return minute

    def planned(self, acts: Sequence[tuple[datetime, AnyAct]]) -> list[Timed]:
        """Acts and who leaves by them, as minutes of its own."""
        told = sorted(acts, key=lambda one: one[0])
        timed = [Timed(minutes(at, self.water.start), what) for at, what in (*told, *self._leaves(told))]
        early = next((t for t in timed if t.minute < self.here), None)
        if early is not None:
            raise BadInput("acts", str(told[0][0]), f"lies before now, {self.now:%Y-%m-%d %H:%M}.")
        return timed

    def seen(self, planned: Sequence[Timed], end: int, *, coarse: bool = False) -> Watched:
        """The water from now on, with what the suspects meet in it."""
        made = self.onward.run(planned, end=end, coarse=coarse)
        return watched(self.water, made, self.facts, self.onward.kept, met=bool(self.suspected))

    def rows_at(self, at: datetime) -> dict[str, Array]:
        """The rows of each organism at an instant from now on, if nothing is done until then.

        Raises
        ------
        BadInput
            If it lies outside of the prospect.
        """
        minute = minutes(at, self.water.start)
        if minute <= self.here:
            return {name: one.rows for name, one in self.suspected.items()}
        water = self.seen((), self.minute(at)).water
        found = {name: self.course(one, (), water) for name, one in self.suspected.items()}
        return {
            name: self.suspected[name].rows
            if isinstance(course, tuple)
            else run(course, apart=minute).rows[-1]
            for name, course in found.items()
        }

    def _gone(
        self, one: Suspected, planned: Sequence[Timed], water: Water, ends: Sequence[int], coarse: bool
    ) -> Gone | tuple[str, ...] | None:
        """The chances, or the substances of which no number can be made."""
        course = self.course(one, planned, water, coarse=coarse)
        if isinstance(course, tuple):
            return course
        if not ends:
            return None

        def found() -> Gone:
            gone = gone_by(course, ends)
            return msgspec.structs.replace(gone, minutes=tuple(m - self.here for m in gone.minutes))

        # Warmth, substances and what is taken out decide it, and stress where the water changes it.
        if len(course.around.stresses()[1]) > 1:
            return found()
        key = (coarse, tuple(ends), self._deciding(planned), course.around.stress[0].tobytes())
        return self._memos[one.life.organism.id].of("gone", key, found)

    def _deciding(self, planned: Sequence[Timed]) -> bytes:
        """By what courses are alike to an organism, to the last bit: when anything is done, and what, but for
        how much air or food there is, unless that is medicated.
        """
        fed = any(t.what.actives_mg_per_g for t in planned if isinstance(t.what, Feed))
        alike = (Air, Clean) if fed or self.onward.stands.medicated else (Air, Clean, Feed)
        return msgspec.msgpack.encode([
            (t.minute, type(t.what).__name__, None if isinstance(t.what, alike) else t.what) for t in planned
        ])  # fmt: skip

    def course(
        self, one: Suspected, planned: Sequence[Timed], water: Water, *, coarse: bool = False
    ) -> Course | tuple[str, ...]:
        """What it meets from now on, or the substances of which no number can be made."""
        kept = self._memos[one.life.organism.id]
        happening = (*one.done, *(_of_all(t, one.left) for t in planned))
        found = met(one.life, self.water.setup, happening, water, self.facts, self._highest, kept)
        if found.unknown:
            return found.unknown
        return Course(
            life=one.life,
            around=found.around,
            begin=self.here,
            end=water.minutes[-1],
            start=one.rows,
            reach=found.reach,
            feed=found.feed,
            every=self._every(one, found.around, dosed=bool(found.reach), coarse=coarse),
            infected_d=one.infected_d,
            coarse=coarse,
            kept=kept,
        )

    def _every(self, one: Suspected, around: Surroundings, *, dosed: bool, coarse: bool) -> int:
        """Longest step, by how the tank is now."""
        now = around.around(self.here, after=True)

        def every() -> int:
            return coarse_min(one.life, now) if coarse else step_min(one.life, now, dosed=dosed)

        return self._memos[one.life.organism.id].of("every", (dosed, coarse), every)


def _of_all(timed: Timed, left: float) -> Timed:
    """Fish that leave, as a share of those that would be there had none died of it."""
    if left == 1.0 or not isinstance(timed.what, Stocked):
        return timed
    what = timed.what
    return Timed(timed.minute, Stocked(share=what.share / left, fish=what.of_fish / left))


def _part(weights: Array, draws: int) -> Array:
    return np.asarray(weights[:draws] / weights[:draws].sum())


def _narrowed(one: Suspected, draws: int, facts: Facts) -> Suspected:
    herd = one.life.herd
    fewer = msgspec.structs.replace(
        herd,
        **{name: getattr(herd, name)[:draws] for name in ("fish", "fish_g", "volume_l", "turnover_1_d")},
    )
    return msgspec.structs.replace(
        one,
        life=life_of(facts, one.life.organism.id, fewer, draws),
        rows=one.rows[:, :draws],
        weights=_part(one.weights, draws),
    )
