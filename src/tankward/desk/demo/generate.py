"""Half a year of logbook for the invented room, up to now, from a seed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

import numpy as np

from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.room.acts import Siphon
from tankward.room.entries.acts import Done
from tankward.room.entries.animals import Counted, Death
from tankward.room.entries.base import Entry
from tankward.room.entries.looks import Look

from .flukes import fluke_course
from .ids import Ids
from .rhythm import Rhythm
from .scenario import ROOM, set_up
from .spots import spots_course
from .story import Story
from .told import back, told
from .truth import SHOWN, Truth, draw

DAYS = 180
SEED = 1
SICK = "T7"
FILES = ("half_year.txt", "last_days.txt")
LAST_LOOK_H = 24.5  # T7, before now


class Writer:
    """Writes the entries of one seed."""

    def __init__(self, now: datetime, seed: int, facts: Facts, zone: str = "UTC") -> None:
        self.now, self.zone, self.facts = now, zone, facts
        self.rng = np.random.default_rng(seed)
        self.ids = Ids(self.rng)
        self.tanks = [row["name"] for row in ROOM["tank"]]
        self.warm_c = {row["name"]: float(row["temp_c"]) for row in ROOM["tank"]}
        self.truth: Truth = draw(self.rng, self.tanks, facts)

    def at(self, ago: int, hour: int) -> datetime:
        """Some minutes after that hour, so many days ago."""
        return back(self.now, self.zone, ago, hour, int(self.rng.integers(0, 30)))

    def entry(self, kind: type[Entry], at: datetime, **fields: object) -> Entry:
        return kind(id=self.ids.at(at), at=at, zone=self.zone, tank=SICK, **fields)  # type: ignore[arg-type]

    def thin_ones(self, rhythm: Rhythm) -> Iterator[Entry]:
        """T7: thin fish, pale droppings, one dead; water read, nothing at the vent. As the truth has it."""
        for ago, thin in zip((6, 4), self.truth.thin, strict=False):
            yield self.entry(
                Look, self.at(ago, 18), seen=SHOWN if thin else SHOWN[:1],
                counts={"belly_sunken": float(thin)} if thin else {}, looked_at=11.0, eating="less",
            )  # fmt: skip
        yield self.entry(Death, self.at(2, 17), stock=f"{SICK}-0", number=1, taken_out=True)
        yield self.entry(Done, self.at(2, 18), act=Siphon(floor_share=0.5))
        last = self.now - timedelta(hours=LAST_LOOK_H)
        for at in (last - timedelta(minutes=20), self.now - timedelta(hours=1)):
            yield rhythm.reading(SICK, at, self.warm_c[SICK])
        yield self.entry(Counted, last, stock=f"{SICK}-0", number=Estimate.exact(10))
        yield self.entry(
            Look, last, seen=(*SHOWN, "slow_deaths", *self.truth.also_seen),
            absent=("worms_at_vent", "gold_dust", "white_spots", "gasping_surface", *self.truth.absent),
            counts={"belly_sunken": float(self.truth.thin[-1])}, looked_at=10.0,
            onset="weeks", share="some", belly=2, eating="less",
        )  # fmt: skip

    def all(self) -> list[Entry]:
        """The whole logbook, oldest first."""
        start = back(self.now, self.zone, DAYS, 9)
        files = [entry for name in FILES for entry in told(name, self.now, self.zone)]
        course = fluke_course(self.now, self.zone, self.ids)
        past = spots_course(self.now, self.zone)
        story = Story([*set_up(start, self.zone, self.ids), *files, *course, *past])
        rhythm = Rhythm(story, self.now, self.zone, self.truth, self.facts, self.rng)
        entries = [*story.entries, *self.thin_ones(rhythm)]
        for index, tank in enumerate(self.tanks):
            entries += rhythm.weeks(tank, index, self.warm_c[tank], DAYS)
        entries += rhythm.rounds([t for t in self.tanks if t != SICK], DAYS)
        return sorted(entries, key=lambda e: (e.at, e.id))


def demo_logbook(now: datetime, facts: Facts, seed: int = SEED, zone: str = "UTC") -> list[Entry]:
    """Half a year of an invented room.

    Parameters
    ----------
    now : datetime
        With a zone; the logbook ends shortly before it.
    facts : Facts
        Their chances draw what is hidden.
    seed : int
        The same seed and now give the same entries; another seed draws another truth.
    zone : str
        Of the keeper's wall clock.

    Returns
    -------
    list of Entry
        Oldest first.
    """
    return Writer(now, seed, facts, zone).all()
