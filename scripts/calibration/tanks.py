"""Invented tanks: one of the facts' own draws is true in each, kits show it with their errors, and a forecast
that knows none of it learns from what they showed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from typing import Any

import msgspec
import numpy as np

from tankward.knowledge.beliefs import Z95, drawn
from tankward.knowledge.known import Facts
from tankward.model.draws import COUNTS, sweeping
from tankward.model.events import Event, Held
from tankward.model.from_room import Story, nitrogen
from tankward.model.kits import KITS, card_of, half_width, truth
from tankward.model.learn import learn
from tankward.model.living import REFERENCE_G, Living
from tankward.model.record import FIELDS, Record
from tankward.model.setup import Setup
from tankward.model.simulate import simulate
from tankward.model.weigh import share_read, stood
from tankward.quantities.parse import Estimate
from tankward.room.acts import AnyAct, Change, Dose
from tankward.room.things import Reading, Tank
from tankward.water.animals import MASS_EXPONENT

START = datetime(2026, 3, 1, 8, 0, tzinfo=UTC)
PAST_D, AHEAD_D = 7, 7
NOW = START + timedelta(days=PAST_D)
HOURS = 24.0 * (PAST_D + AHEAD_D)
LANES = COUNTS[0]  # truths that are run at once; the first that fits is the one
DROPS = 24  # answers of a kit that is counted in drops


class Told(msgspec.Struct, frozen=True):
    """A tank as its keeper would tell it, and when what will be read."""

    setup: Setup
    acts: tuple[tuple[datetime, AnyAct], ...]
    tests: tuple[tuple[datetime, str, str], ...]
    well: bool


Number = Callable[[Record], np.ndarray]


def _now(name: str) -> Number:
    return lambda record: record.levels(name)[record.row_of(NOW)]


def _coming(name: str, most: bool) -> Number:
    def number(record: Record) -> np.ndarray:
        levels = record.levels(name)[record.row_of(NOW) :]
        return np.asarray(levels.max(axis=0) if most else levels.min(axis=0))

    return number


def _guild(record: Record) -> np.ndarray:
    assert record.guild_mg_h is not None
    return record.guild_mg_h[record.row_of(NOW)]


# What is ranked; a line more is a number more.
NUMBERS: dict[str, Number] = {
    "ammonia now": _now("ammonia_n"),
    "nitrite now": _now("nitrite_n"),
    "peak of NH3 in the coming week": _coming("nh3_n", True),
    "least oxygen in the coming week": _coming("oxygen", False),
    "what the filter can turn over now": _guild,
    "copper now": _now("copper"),
}


def invented(rng: np.random.Generator, facts: Facts) -> Told:
    """A tank, what is done in it and what will be read."""
    volume, each = np.exp(rng.uniform(np.log(20), np.log(200))), np.exp(rng.uniform(np.log(0.3), np.log(5)))
    grams = volume * np.exp(rng.uniform(np.log(0.2), np.log(1.5)))
    breath = grams / each * (each / REFERENCE_G) ** MASS_EXPONENT
    age = rng.choice(np.array([0.0, 5.0, 10.0, 20.0, 40.0, 100.0, np.nan]))
    known = None if np.isnan(age) else float(age)
    temp, ph = rng.uniform(20, 28), rng.uniform(6.6, 8.2)
    setup = Setup(
        volume_l=_about(volume, 1.06),
        temp_c=Estimate.exact(round(temp, 1)),
        ph=Estimate(ph, ph - 0.2, ph + 0.2),
        living=Living(
            mass_g=_about(grams, 1.25), breath_50g=_about(breath, 1.25), planted=bool(rng.random() < 0.5)
        ),
        filter=str(rng.choice(["sponge", "sponge", "internal", "box", "canister", "none", ""])),
        filter_age_d=known,
        filter_seeded=bool(rng.random() < 0.3),
        air=bool(rng.random() < 0.3),
        light_h=float(rng.choice([8, 10, 12])),
        depth_cm=float(rng.uniform(20, 45)),
        levels=nitrogen(known, facts),
    )
    dosed = rng.random() < 0.4
    acts: list[tuple[datetime, AnyAct]] = [
        (_instant(rng, 0.5, PAST_D - 0.5), Change(share=float(rng.uniform(0.2, 0.5))))
        for _ in range(rng.integers(0, 3))
    ]
    if dosed:
        mg = float(rng.uniform(0.4, 1.2)) * volume
        acts.append((_instant(rng, 1.0, 3.0), Dose(actives={"copper": mg})))
    tests = [one for _ in range(rng.integers(2, 5)) for one in _tests(rng, dosed)]
    return Told(
        setup=setup,
        acts=tuple(sorted(acts, key=lambda a: a[0])),
        tests=tuple(sorted(tests)),
        well=bool(not dosed and rng.random() < 0.5),
    )


def _about(value: float, factor: float) -> Estimate:
    return Estimate(float(value), float(value / factor), float(value * factor))


def _instant(rng: np.random.Generator, first_d: float, last_d: float) -> datetime:
    """A whole hour: the run takes no step for it that it would not take anyhow."""
    return START + timedelta(hours=int(rng.integers(round(first_d * 24), round(last_d * 24))))


def _tests(rng: np.random.Generator, dosed: bool) -> Iterator[tuple[datetime, str, str]]:
    """One visit with the kits."""
    at = _instant(rng, 1.3, PAST_D - 0.05)
    for quantity, often in (("ammonia_n", 0.8), ("nitrite_n", 0.8), ("nitrate_n", 0.3), ("oxygen", 0.4)):
        if rng.random() < often:
            yield at, quantity, "strips" if quantity == "nitrite_n" and rng.random() < 0.2 else ""
    if dosed:
        yield _instant(rng, 3.1, PAST_D - 0.05), "copper", ""


@contextmanager
def one_of_many(rng: np.random.Generator) -> Iterator[None]:
    """For as long as it lasts every number is drawn at random, not from its column."""
    kept: dict[str, np.ndarray] = {}

    def shares(name: str, draws: int) -> np.ndarray:
        if name not in kept:
            kept[name] = rng.uniform(1e-6, 1 - 1e-6, COUNTS[-1])
        return kept[name][:draws]

    with sweeping(shares):
        yield


class Kits:
    """The kits of one keeper: each bottle has its own lot."""

    def __init__(self, rng: np.random.Generator, facts: Facts) -> None:
        self.rng, self.facts = rng, facts
        self.lots: dict[str, float] = {}

    def card(self, quantity: str, kit: str) -> tuple[tuple[float, ...], str, float]:
        """Marks of the card (none: counted in drops), which kit it is, its units for one of ours."""
        usual, scale = KITS[quantity]
        one = self.facts.kits[kit or usual]
        steps = one.steps or (card_of(quantity, self.facts) if one.error.unit == "steps" else ())
        return steps, one.id, scale

    def lot(self, kit: str) -> float:
        """What its bottle shows of what there is: the same whenever it is asked for."""
        if kit not in self.lots:
            share = np.array([self.rng.uniform(1e-6, 1 - 1e-6)])
            self.lots[kit] = float(drawn(self.facts.kits[kit].lot, share)[0])
        return self.lots[kit]

    def shows(self, level: float, quantity: str, kit: str) -> float:
        """What is written down of a level [mg/L], in mg/L."""
        steps, name, scale = self.card(quantity, kit)
        one = self.facts.kits[name]
        shown = level * share_read(quantity, self.facts) * scale * self.lot(name)
        if not steps:
            drop = half_width(one, shown)
            off = self.rng.normal() * np.sqrt(1 / Z95**2 - 1 / 12)
            return max(float(np.floor(shown / drop + off + 0.5)), 0.0) * drop / scale
        wide = (one.error.low + one.error.high) / 2
        at = place(steps, shown) + self.rng.normal() * np.sqrt((wide / Z95) ** 2 - 1 / 12)
        nothing = max(0.5, place(steps, one.zero_means.high)) if one.zero_means else 0.5
        mark = 0 if at < nothing else max(int(np.floor(at + 0.5)), 1)
        return steps[min(mark, len(steps) - 1)] / scale

    def anything(self, quantity: str, kit: str) -> float:
        """Any answer of the kit, all alike likely. [mg/L]"""
        steps, name, scale = self.card(quantity, kit)
        if steps:
            return float(self.rng.choice(np.array(steps))) / scale
        return int(self.rng.integers(DROPS)) * half_width(self.facts.kits[name], 1.0) / scale


def place(steps: tuple[float, ...], level: float) -> float:
    """Where a level lies between the marks."""
    for n in range(len(steps) - 1):
        if level <= steps[n + 1] or n == len(steps) - 2:
            return n + (level - steps[n]) / (steps[n + 1] - steps[n])
    return 0.0


class True_(msgspec.Struct, frozen=True):
    """What was so, and what the keeper read."""

    numbers: dict[str, float]
    lots: dict[str, float]
    readings: tuple[tuple[datetime, Reading], ...]


def lived(told: Told, facts: Facts, rng: np.random.Generator, kits: Kits) -> True_:
    """One truth of this tank. Where its animals are told to be well, one in which they could be."""
    odd: dict[int, float] = {}
    events: list[tuple[datetime, Event]] = []
    for n, (at, quantity, kit) in enumerate(told.tests):
        if quantity == "nitrate_n" or rng.random() >= facts.tank["reading_odd"].low:
            continue
        odd[n] = kits.anything(quantity, kit)
        if rng.random() < facts.tank["reading_happened"].low:
            events.append((at, _becomes(odd[n], quantity, kit, kits.facts, rng)))
    start = Estimate.exact(float(rng.uniform(0.0, 12.0)))
    setup = msgspec.structs.replace(told.setup, levels=told.setup.levels | {"nitrate_n": start})
    marks = [NOW, *(at for at, *_ in told.tests)]
    with one_of_many(rng):
        record = simulate(
            setup, told.acts, facts, start=START, hours=HOURS, draws=LANES, events=events, marks=marks
        )
    lane = 0
    if told.well:
        could = np.flatnonzero(rng.random(LANES) < stood(record, facts, NOW))
        if not could.size:
            return lived(told, facts, rng, kits)
        lane = int(could[0])
    readings = []
    for n, (at, quantity, kit) in enumerate(told.tests):
        shown = odd[n] if n in odd else _read(record, at, quantity, kit, lane, kits)
        readings.append((at, Reading(quantity=quantity, value=shown, kit=kit)))
    numbers = {
        name: float(number(record)[lane])
        for name, number in NUMBERS.items()
        if name != "copper now" or "copper" in record.names
    }
    lots = {name: kits.lot(name) for name in dict.fromkeys(kits.card(q, kit)[1] for _, q, kit in told.tests)}
    return True_(numbers=numbers, lots=lots, readings=tuple(readings))


def _read(record: Record, at: datetime, quantity: str, kit: str, lane: int, kits: Kits) -> float:
    return kits.shows(float(record.levels(quantity)[record.row_of(at)][lane]), quantity, kit)


def _becomes(shown: float, quantity: str, kit: str, facts: Facts, rng: np.random.Generator) -> Held:
    """Something happens: the level is one at which the kit may show this."""
    allowed = truth(Reading(quantity=quantity, value=shown, kit=kit), facts, COUNTS[-1])
    level = float(rng.choice(allowed)) / share_read(quantity, facts)
    return Held(quantity=quantity, field=FIELDS.get(quantity, ""), taken=lambda own: np.full_like(own, level))


def story_of(told: Told, readings: tuple[tuple[datetime, Reading], ...]) -> Story:
    """As the logbook would have it."""
    tank = Tank(id="tank", name="Invented")
    return Story(
        tank=tank, start=START, setup=told.setup, acts=told.acts, events=(), readings=readings, unweighed=()
    )


def learned(told: Told, true: True_, facts: Facts, draws: int) -> Any:
    """What the forecast makes of it."""
    return learn(story_of(told, true.readings), NOW, facts, hours=HOURS, draws=draws, well=told.well)


__all__ = ["NUMBERS", "Kits", "invented", "learned", "lived"]
