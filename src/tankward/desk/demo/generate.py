"""Six weeks of logbook for the invented room, up to now, from a seed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

import numpy as np

from tankward.knowledge.known import Facts
from tankward.room.acts import Change, Clean, Dose, Media, Siphon
from tankward.room.entries.acts import Done
from tankward.room.entries.animals import Death
from tankward.room.entries.base import Entry
from tankward.room.entries.looks import Look
from tankward.room.entries.notes import Note
from tankward.room.entries.water import ReadingTaken
from tankward.room.things import Reading

from .ids import Ids
from .scenario import ROOM, set_up
from .truth import SHOWN, Truth, draw

DAYS = 42
SEED = 1
SICK, SPOTTED, TREATED = "T7", "T8", "T2"


def _step(value: float, steps: list[float]) -> float:
    return min(steps, key=lambda s: abs(s - value))


class Writer:
    """Writes the entries of one seed."""

    def __init__(self, now: datetime, seed: int, facts: Facts) -> None:
        self.now = now
        self.rng = np.random.default_rng(seed)
        self.ids = Ids(self.rng)
        self.facts = facts
        self.tanks = [row["name"] for row in ROOM["tank"]]
        self.warm = {row["name"]: float(row["temp_c"]) for row in ROOM["tank"]}
        self.inhabited = [row["name"] for row in ROOM["tank"] if row["stock"]]
        self.truth: Truth = draw(self.rng, self.tanks, facts)

    def day(self, ago: int, hour: float) -> datetime:
        """A moment so many days before today, at an hour; never after now."""
        midnight = self.now.replace(hour=0, minute=0, second=0, microsecond=0)
        minutes = int(60 * hour) + int(self.rng.integers(0, 20))
        moment = midnight - timedelta(days=ago) + timedelta(minutes=minutes)
        return min(moment, self.now - timedelta(minutes=20))

    def entry(self, kind: type[Entry], at: datetime, tank: str, **fields: object) -> Entry:
        return kind(id=self.ids.at(at), at=at, zone="UTC", tank=tank, **fields)  # type: ignore[arg-type]

    def reading(self, tank: str, ago: int, hour: float) -> Entry:
        """A drop test of one evening: the truth, the kit's error, the kit's steps."""
        tan = self.truth.ammonia_n[tank] * float(self.rng.lognormal(0, 0.4))
        since_change = ago % 7
        nitrate = 3.0 + self.truth.nitrate_per_day[tank] * (7 - since_change)
        kits = self.facts.kits
        values = (
            Reading(quantity="temp_c", value=round(self.warm[tank] + float(self.rng.normal(0, 0.25)), 1)),
            Reading(quantity="ph", value=round(self.truth.ph[tank] + float(self.rng.normal(0, 0.08)), 1)),
            Reading(quantity="ammonia_n", value=_step(tan, list(kits["ammonia_drops"].steps))),
            Reading(quantity="nitrite_n", value=0.0),
            Reading(quantity="nitrate_n", value=_step(nitrate, list(kits["nitrate_drops"].steps))),
        )
        return self.entry(ReadingTaken, self.day(ago, hour), tank, values=values)

    def keeping(self) -> Iterator[Entry]:
        """What happens every week: half an hour a tank on Sundays, a test, a look now and then."""
        for ago in range(DAYS - 1, 0, -1):
            for index, tank in enumerate(self.inhabited):
                if ago % 7 == index % 7:
                    share = float(self.rng.choice([0.25, 0.3, 0.35]))
                    act = Change(share=share, temp_c=self.warm[tank], dechlorinated=True)
                    yield self.entry(Done, self.day(ago, 10.5), tank, act=act)
                    yield self.reading(tank, ago, 10)
                if ago % 3 == index % 3 and not (tank in (SICK, SPOTTED) and ago < 8):
                    yield self.entry(Look, self.day(ago, 18.2), tank, well=True)

    def thin_ones(self) -> Iterator[Entry]:
        """T7: thin fish, pale droppings, one dead; water read, nothing at the vent."""
        for back, thin in zip((6, 4, 1), self.truth.thin, strict=True):
            counts = {"belly_sunken": float(thin)} if thin else {}
            seen = SHOWN if thin else SHOWN[:1]
            yield self.entry(
                Look, self.day(back, 18.4), SICK, seen=seen, counts=counts, looked_at=11.0, eating="less"
            )
        yield self.entry(Death, self.day(2, 18.1), SICK, stock=f"{SICK}-0", number=1, taken_out=True)
        yield self.entry(Done, self.day(2, 18.8), SICK, act=Siphon(floor_share=0.5))
        yield self.reading(SICK, 1, 18.1)
        yield self.reading(SICK, 0, self.hour_before_now())
        moment = self.day(0, self.hour_before_now())
        yield self.entry(
            Look, moment, SICK, seen=(*SHOWN, "slow_deaths", *self.truth.also_seen),
            absent=("worms_at_vent", "gold_dust", "white_spots", "gasping_surface", *self.truth.absent),
            counts={"belly_sunken": float(self.truth.thin[-1])}, looked_at=10.0,
            onset="weeks", share="some", belly=2, eating="less",
        )  # fmt: skip

    def hour_before_now(self) -> float:
        return max(0.0, self.now.hour + self.now.minute / 60 - 1.0)

    def spots(self) -> Iterator[Entry]:
        """T8: white grains on one danio; the same net was in T6 and T10 three days ago."""
        for tank in ("T6", SPOTTED, "T10"):
            yield self.entry(
                Done, self.day(3, 17.5), tank, act=Clean(what="net", how="the same net in T6, T8 and T10")
            )
        yield self.reading(SPOTTED, 1, 18)
        yield self.entry(
            Look, self.day(1, 18.5), SPOTTED, seen=("white_spots", "flashing"),
            absent=("gold_dust", "gasping_surface"), counts={"white_spots": 1.0},
            looked_at=18.0, onset="days", share="one",
        )  # fmt: skip

    def treated(self) -> Iterator[Entry]:
        """T2: the young were given praziquantel against gill flukes five days ago, by the gram."""
        at = self.day(5, 19.0)
        yield self.entry(
            Look, self.day(6, 18), TREATED, seen=("fast_gills", "flashing"),
            absent=("white_spots", "gold_dust"), onset="days", share="some",
        )  # fmt: skip
        yield self.entry(Done, at, TREATED, act=Media(into=False))
        measured = "60 mg, as 60 mL of 100 mg in 100 mL"
        dose = Dose(actives={"praziquantel": 60.0}, supply="fluke powder", measured=measured)
        yield self.entry(Done, at + timedelta(minutes=20), TREATED, act=dose)
        yield self.reading(TREATED, 2, 18)
        yield self.entry(Look, self.day(1, 18.3), TREATED, well=True)

    def notes(self) -> Iterator[Entry]:
        yield self.entry(
            Note, self.day(20, 20), "T12", text="First eggs from T1 hatched; feeding four times a day."
        )

    def all(self) -> list[Entry]:
        """The whole logbook, oldest first."""
        start = self.day(DAYS, 9)
        parts = (self.keeping(), self.thin_ones(), self.spots(), self.treated(), self.notes())
        entries = set_up(start, self.ids) + [entry for part in parts for entry in part]
        return sorted(entries, key=lambda e: (e.at, e.id))


def demo_logbook(now: datetime, facts: Facts, seed: int = SEED) -> list[Entry]:
    """Six weeks of an invented room.

    Parameters
    ----------
    now : datetime
        With a zone; the logbook ends shortly before it.
    facts : Facts
        Their chances draw what is hidden.
    seed : int
        The same seed and now give the same entries; another seed draws another truth.

    Returns
    -------
    list of Entry
        Oldest first.
    """
    return Writer(now, seed, facts).all()
