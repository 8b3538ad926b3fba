"""What every week brings: water changed and tested, the round of looks, as the keeper reads them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

import numpy as np

from tankward.knowledge.known import Facts
from tankward.room.acts import Change
from tankward.room.entries.acts import Done
from tankward.room.entries.animals import Counted
from tankward.room.entries.base import Entry
from tankward.room.entries.looks import Look
from tankward.room.entries.water import ReadingTaken
from tankward.room.things import Reading

from .ids import Ids
from .story import Story
from .told import back
from .truth import Truth

WEEK = 7
KEPT_WEEKS = 0.94  # weeks in which the change is not left out
ROUNDS = 0.62  # days on which a round is written down
LAST_ROUND_H = 26.0  # before now: a day later every tank is due again
ALONE = timedelta(days=2.1)  # around a look of the story the round says nothing of that tank
APART = timedelta(hours=20)  # the change of the week keeps so far from what the story does
COUNTABLE = 30  # more of them nobody counts
SHARES = (0.25, 0.3, 0.35)


def step(value: float, steps: tuple[float, ...]) -> float:
    """A drop test shows one of its steps."""
    return min(steps, key=lambda s: abs(s - value))


class Rhythm:
    """Writes the weeks of one seed around what the story tells."""

    def __init__(
        self, story: Story, now: datetime, zone: str, truth: Truth, facts: Facts, rng: np.random.Generator
    ) -> None:
        self.story = story
        self.now, self.zone, self.truth, self.facts, self.rng = now, zone, truth, facts, rng
        self.ids = Ids(rng)

    def at(self, ago: int, hour: int) -> datetime:
        """Some minutes after that hour, so many days ago."""
        return back(self.now, self.zone, ago, hour, int(self.rng.integers(0, 50)))

    def entry(self, kind: type[Entry], at: datetime, tank: str, **fields: object) -> Entry:
        return kind(id=self.ids.at(at), at=at, zone=self.zone, tank=tank, **fields)  # type: ignore[arg-type]

    def reading(self, tank: str, at: datetime, warm_c: float, since_change_d: int = WEEK) -> Entry:
        """A drop test of one evening: the truth, the kit's error, the kit's steps."""
        truth, kits = self.truth, self.facts.kits
        tan = truth.ammonia_n[tank] * float(self.rng.lognormal(0, 0.4))
        nitrate = 3.0 + truth.nitrate_per_day[tank] * since_change_d
        values = (
            Reading(quantity="temp_c", value=round(warm_c + float(self.rng.normal(0, 0.25)), 1)),
            Reading(quantity="ph", value=round(truth.ph[tank] + float(self.rng.normal(0, 0.08)), 1)),
            Reading(quantity="ammonia_n", value=step(tan, kits["ammonia_drops"].steps)),
            Reading(quantity="nitrite_n", value=0.0),
            Reading(quantity="nitrate_n", value=step(nitrate, kits["nitrate_drops"].steps)),
        )
        return self.entry(ReadingTaken, at, tank, values=values)

    def weeks(self, tank: str, index: int, warm_c: float, days: int) -> Iterator[Entry]:
        """A tank's change of the week, and its test before it, while somebody lives there."""
        for ago in range(days - 1, 0, -1):
            if ago % WEEK != index % WEEK or self.rng.random() > KEPT_WEEKS:
                continue
            at = self.at(ago, 10)
            if not self.story.lived(tank, at) or self.story.near(tank, at, APART, (Done,)):
                continue
            yield self.reading(tank, at - timedelta(minutes=20), warm_c)
            act = Change(share=float(self.rng.choice(SHARES)), temp_c=warm_c, dechlorinated=True)
            yield self.entry(Done, at, tank, act=act)

    def rounds(self, tanks: list[str], days: int) -> Iterator[Entry]:
        """Every tank that is not in the story's hands that day, one after the other."""
        for ago in range(days - 1, 1, -1):
            if self.rng.random() < ROUNDS:
                yield from self._round(tanks, self.at(ago, 18), counted=ago % WEEK == 0)
        yield from self._round(tanks, self.now - timedelta(hours=LAST_ROUND_H), counted=True)

    def _round(self, tanks: list[str], start: datetime, *, counted: bool) -> Iterator[Entry]:
        for place, tank in enumerate(tanks):
            at = start + timedelta(minutes=place)
            if self.story.lived(tank, at) and not self.story.near(tank, at, ALONE, (Look,)):
                yield self.entry(Look, at, tank, well=True)
                yield from self.heads(tank, at) if counted else ()

    def heads(self, tank: str, at: datetime) -> Iterator[Entry]:
        """The fish of a tank counted, where there are few enough."""
        for group in self.story.room(at).stock_of(tank):
            number, animal = group.number, self.facts.animals.get(group.kind)
            if animal and animal.kind == "fish" and not number.ranged and number.value <= COUNTABLE:
                yield self.entry(Counted, at, tank, stock=group.id, number=number)
