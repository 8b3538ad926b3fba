"""Writes docs/calibration_progress.md: is "helping" said, and "not helping", as surely as it is meant?

`python scripts/calibration_progress.py` invents over 1,000 outbreaks, each treated: in half the medicine
bites, in a quarter it does too little or nothing, in a quarter it was another cause. A keeper counts before
and since, and asks on the seventh or the tenth day.

Statistics and limits, named beforehand (`calibration_progress_page.py`):

A. "helping" is said in at most 5 of 100 outbreaks in which the course does not bite;
B. "not helping" in at most 5 of 100 in which it does;
C. the stated chance: in each of five bins the share in which it bites lies no further from the mean of what
   was stated than chance allows (Wilson's bounds, 1 false alarm in 100 pages);
D. the expected counts: where the last count lies among what was expected of it, for each kind and each
   truth, is even by Kolmogorov's statistic (limit passed by even ranks once in 100 pages).

Then skin flukes that grow twice as fast as the facts say: at least one of A to D must fail. Beside
it, with no limit, other organisms that make the same sign and that the medicine does not touch. Takes some
minutes.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

import msgspec
import numpy as np

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from scripts.calibration_counts import TANK, faster  # noqa: E402
from scripts.calibration_progress_page import Asking, drawn, page  # noqa: E402
from tankward.judge.helping import log_other  # noqa: E402
from tankward.judge.hypotheses import IDLE, Chances, posterior, said  # noqa: E402
from tankward.knowledge.known import Facts  # noqa: E402
from tankward.knowledge.loader import load  # noqa: E402
from tankward.model.both_ways import (  # noqa: E402
    Asked,
    BothWays,
    Pilots,
    both_ways,
    follow_way,
    outcomes,
    pilots,
    pilots_of,
)
from tankward.model.counts import Deaths, Heads, Told, deaths_expected, eyes_of  # noqa: E402
from tankward.model.drifting import DAYS, DIES, drifting  # noqa: E402
from tankward.model.follow import Followed, herd_of  # noqa: E402
from tankward.model.from_room import Story, story  # noqa: E402
from tankward.model.learned import Guess, load_at, lost_between, sound  # noqa: E402
from tankward.model.organisms import life_of  # noqa: E402
from tankward.model.outlook import narrowed  # noqa: E402
from tankward.model.record import Record  # noqa: E402
from tankward.model.rows import Array  # noqa: E402
from tankward.model.run import warm  # noqa: E402
from tankward.model.simulate import simulate  # noqa: E402
from tankward.model.suspect import Seen  # noqa: E402
from tankward.room.acts import AnyAct, Dose, Feed  # noqa: E402
from tankward.room.text import room_of_text  # noqa: E402

PAGE, PICTURE = ROOT / "docs" / "calibration_progress.md", "calibration_progress.svg"
GIVEN = datetime(2026, 3, 7, 9, 0, tzinfo=UTC)  # the course begins
EARLY, LATE = (-4.0, -2.0, -0.1), (3.0, 5.0, 7.0, 10.0)  # days of the looks
BY = GIVEN + timedelta(days=8)  # by then it must have done something
FISH, LEARNS, TRUTHS, SEED = 20, 256, 1024, 20260307
START = GIVEN - timedelta(days=5)
HOURS = 24.0 * 15.6
SHARES = (0.5, 0.25, 0.25)  # bites, too little, another cause


class Kind(msgspec.Struct, frozen=True, kw_only=True):
    """A kind of outbreak: which organism, what is counted, what is given on which days of the course, which
    other organisms make the same sign.
    """

    name: str
    organism: str
    sign: str
    given: tuple[tuple[float, AnyAct], ...]
    alike: tuple[str, ...] = ()
    grows: bool = False  # asked with outbreaks that grow twice as fast too

    @property
    def substances(self) -> frozenset[str]:
        acts = [a for _, a in self.given]
        return frozenset(
            s
            for a in acts
            for s in (a.actives if isinstance(a, Dose) else a.actives_mg_per_g)  # type: ignore[union-attr]
        )


def _doses(substance: str, mg_l: float, days: Sequence[float]) -> tuple[tuple[float, AnyAct], ...]:
    return tuple((day, Dose(actives={substance: 54.0 * mg_l})) for day in days)


KINDS = (
    Kind(
        name="skin flukes, praziquantel twice", organism="gyrodactylus", sign="flashing",
        given=_doses("praziquantel", 2.5, (0.0, 5.0)), alike=("trichodina", "ichthyobodo"), grows=True,
    ),
    Kind(
        name="velvet, quinine three times", organism="piscinoodinium", sign="gold_dust",
        given=_doses("quinine", 15.0, (0.0, 3.0, 6.0)),
    ),
    Kind(
        name="white spot, salt", organism="ichthyophthirius", sign="white_spots",
        given=_doses("sodium_chloride", 3000.0, (0.0,)),
    ),
    Kind(
        name="gut flagellates, metronidazole in the food", organism="spironucleus", sign="eats_but_thin",
        given=((0.0, Feed(actives_mg_per_g={"metronidazole": 5.0})),), alike=("capillaria",),
    ),
    Kind(
        name="red worms, levamisole twice", organism="camallanus", sign="worms_at_vent",
        given=_doses("levamisole", 2.0, (0.0, 7.0)),
    ),
    Kind(
        name="columnaris, oxytetracycline in the food", organism="columnaris", sign="saddle_patch",
        given=((0.0, Feed(actives_mg_per_g={"oxytetracycline": 7.0})),),
    ),
)  # fmt: skip


class World(msgspec.Struct, frozen=True, kw_only=True):
    """The tank of one kind, its water in every draw."""

    kind: Kind
    told: Story
    record: Record


class Truth(msgspec.Struct, frozen=True, kw_only=True):
    """Outbreaks as they are, one for each draw, both ways."""

    asked: Asked
    acts: Followed
    idle: Followed
    bites: Array


def world_of(kind: Kind, facts: Facts) -> World:
    """The tank, its water run once."""
    planned = [(GIVEN + timedelta(days=day), act) for day, act in kind.given]
    told = story(room_of_text(TANK), "t", START, GIVEN, facts, planned)
    record = simulate(told.setup, told.acts, facts, start=START, hours=HOURS, draws=TRUTHS, marks=(GIVEN,))
    return World(kind=kind, told=told, record=record)


def asked_of(
    world: World, facts: Facts, organism: str, draws: int, seen: Seen, died: tuple[Deaths, ...] = ()
) -> Asked:
    """An organism in that tank, in the first draws of its water."""
    record = world.record if draws == TRUTHS else narrowed(world.record, draws)
    return Asked(
        life=life_of(facts, organism, herd_of(world.told, facts, draws), draws), told=world.told,
        record=record, weights=np.full(draws, 1.0 / draws), seen=seen, died=died, given=GIVEN,
        now=seen.told[-1].at if seen.told else GIVEN, facts=facts, substances=world.kind.substances,
    )  # fmt: skip


def look(kind: Kind, day: float, number: int = 0) -> Heads:
    """A look of that day of the course."""
    return Heads(at=GIVEN + timedelta(days=day), sign=kind.sign, low=number, high=number, of=FISH)


def truth_of(world: World, facts: Facts, organism: str = "") -> Truth:
    """1,024 outbreaks, each with numbers of its own, begun as one that is counted begins."""
    seen = Seen(since=look(world.kind, EARLY[0]).at, told=(look(world.kind, EARLY[0]),))
    asked = asked_of(world, facts, organism or world.kind.organism, TRUTHS, seen)
    start = Guess(asked.life, eyes_of(asked.life, facts), asked.record, seen, asked.begin).starts(())[0]
    acts, idle = (follow_way(asked, start, acting, None) for acting in (True, False))
    return Truth(asked=asked, acts=acts, idle=idle, bites=pilots_of(acts, idle, asked.minute(BY)).bites)


class Keeper:
    """Counts, and finds dead, as one outbreak has it."""

    def __init__(self, world: World, truth: Truth, found: Followed, draw: int, seed: int) -> None:
        self.kind, self.asked, self.found, self.draw = world.kind, truth.asked, found, draw
        self.eyes = eyes_of(truth.asked.life, truth.asked.facts)
        self.chance = np.random.default_rng((SEED, seed))

    def counts(self, day: float) -> Heads:
        """The look of a day."""
        like = look(self.kind, day)
        load = load_at(self.found, self.eyes, self.asked.minute(like.at), like)
        return self.picks(day, outcomes(self.asked.life, self.eyes, like, load)[:, self.draw])

    def picks(self, day: float, chances: Array) -> Heads:
        """One of the counts, as often as it comes."""
        return look(self.kind, day, int(self.chance.choice(chances.size, p=chances / chances.sum())))

    def finds_dead(self, since: datetime, until: datetime) -> Deaths:
        """Between two instants."""
        minutes = self.asked.minute(since), self.asked.minute(until)
        mean, size = (x[self.draw] for x in deaths_expected(*lost_between(self.found, *minutes), self.eyes))
        number = int(self.chance.negative_binomial(size, size / (size + mean)))
        return Deaths(since=since, at=until, number=number)


def drifts(
    keeper: Keeper, early: Sequence[Told], before: Deaths, days: Sequence[float], facts: Facts, learner: Asked
) -> tuple[list[Heads], Deaths]:
    """What another cause makes of the looks to come: one cell of what is believed after the early ones."""
    eyes = eyes_of(learner.life, facts)
    one = drifting(early[0], early[0].at, eyes).after(early)
    cell = keeper.chance.choice(one.weights.size, p=one.weights)
    late = [keeper.picks(day, one.outcomes(look(keeper.kind, day))[:, cell]) for day in days]
    spent = FISH * (before.at - before.since) / timedelta(days=1)
    rate = keeper.chance.gamma(DIES + before.number) / (DAYS + spent)
    mean = rate * FISH * days[-1]
    number = keeper.chance.negative_binomial(eyes.dead_size, eyes.dead_size / (eyes.dead_size + mean))
    return late, Deaths(since=GIVEN, at=late[-1].at, number=int(number))


def prior_of_page(share: float) -> Chances:
    """Half, a quarter, a quarter; of those in which it does too little some in which it does nothing."""
    weak = (1.0 - IDLE.value) * (1.0 - share)
    part = weak / (weak + IDLE.value)
    bites, little, other = SHARES
    return Chances(bites=bites, weak=little * part, idle=little * (1.0 - part), other=other)


def askings(
    world: World, truth: Truth, facts: Facts, number: int, *, alike: Truth | None = None
) -> Iterator[Asking]:
    """One outbreak after the other, and what is said of it; with `alike` each is of that organism."""
    seen = Seen(since=look(world.kind, EARLY[0]).at, told=(look(world.kind, EARLY[0]),))
    plain = asked_of(world, facts, world.kind.organism, LEARNS, seen)
    first = pilots(msgspec.structs.replace(plain, now=GIVEN + timedelta(days=LATE[-1])), BY)
    assert first is not None, "nothing of this course touches it"
    prior = prior_of_page(float(first.bites.mean()))
    for n, (name, draw) in enumerate(_outbreaks(truth, prior, number, alike)):
        source = alike or truth
        keeper = Keeper(world, source, source.acts if name in ("bites", "weak") else source.idle, draw, n)
        days = LATE if n // 4 % 2 else LATE[:3]
        early = [keeper.counts(day) for day in EARLY]
        dead = [keeper.finds_dead(early[0].at, GIVEN)]
        if name == "other" and alike is None:
            late, since = drifts(keeper, early, dead[0], days, facts, plain)
        else:
            late = [keeper.counts(day) for day in days]
            since = keeper.finds_dead(GIVEN, late[-1].at)
        told = Seen(since=early[0].at, told=(*early, *late))
        yield _asked_of_it(plain, told, (*dead, since), first, prior, name, keeper)


def _outbreaks(truth: Truth, prior: Chances, number: int, alike: Truth | None) -> Iterator[tuple[str, int]]:
    """What is so, and in which draw: those of the learner are left out."""
    usable = sound(truth.acts) & sound(truth.idle) & (np.arange(TRUTHS) >= LEARNS)
    pools = {
        "bites": np.flatnonzero(usable & truth.bites), "weak": np.flatnonzero(usable & ~truth.bites),
        "idle": np.flatnonzero(usable), "other": np.flatnonzero(usable),
    }  # fmt: skip
    chance, at = np.random.default_rng(SEED), dict.fromkeys(pools, 0)
    for n in range(number):
        if alike is not None:
            name = "other"
        elif n % 4 == 2:
            name = "weak" if chance.random() < prior.weak / prior.too_little else "idle"
        else:
            name = ("bites", "bites", "", "other")[n % 4]
        pool = pools[name]
        yield name, int(pool[at[name] % len(pool)])
        at[name] += 1


def _asked_of_it(
    plain: Asked,
    seen: Seen,
    died: tuple[Deaths, ...],
    first: Pilots,
    prior: Chances,
    name: str,
    keeper: Keeper,
) -> Asking:
    asked = msgspec.structs.replace(plain, seen=seen, died=died, now=seen.told[-1].at)
    both = both_ways(asked, first)
    assert both is not None
    found = posterior(prior, (*both.logs, both.power * log_other(both)))
    return Asking(
        kind=keeper.kind.name, truth=name, helping=found.helping, power=both.power, said=said(prior, found),
        rank=_rank(both, asked, prior, name, keeper.chance.random()),
    )  # fmt: skip


def _rank(both: BothWays, asked: Asked, prior: Chances, name: str, u: float) -> float:
    """Where the last count lies among what was expected of it before the course, if that is so. 0 to 1"""
    last, early = asked.seen.told[-1], [t for t in asked.seen.told if asked.early(t.at)]
    if name == "other":
        chances = drifting(last, early[0].at, both.eyes).after(early).counted(last)
    elif name == "bites":
        chances = both.outcomes(both.bites, last) @ both.bites.before
    else:
        idle = both.outcomes(both.idle, last) @ both.idle.before
        weak = idle if both.weak is None else both.outcomes(both.weak, last) @ both.weak.before
        chances = (prior.weak * weak + prior.idle * idle) / prior.too_little
    return float(chances[: last.low].sum() + u * chances[last.low])


def fast_truth(world: World, facts: Facts) -> Truth:
    """Outbreaks that grow twice as fast as the facts say."""
    return truth_of(world, faster(facts, world.kind.organism))


def main(each: int = 172, wrong: int = 240, others: int = 40) -> int:
    """Write the page and its picture; 1 where it is not as it must be."""
    warm(wait=True)
    facts = load()
    right: list[Asking] = []
    fast: list[Asking] = []
    alike: list[Asking] = []
    for kind in KINDS:
        world = world_of(kind, facts)
        truth = truth_of(world, facts)
        right += askings(world, truth, facts, each)
        if kind.grows:
            fast += askings(world, fast_truth(world, facts), facts, wrong)
        for organism in kind.alike:
            alike += askings(world, truth, facts, others, alike=truth_of(world, facts, organism))
    (PAGE.parent / PICTURE).write_text(drawn(right), encoding="utf-8")
    text, as_it_must = page(right, fast, alike, PICTURE)
    PAGE.write_text(text, encoding="utf-8")
    return 0 if as_it_must else 1


if __name__ == "__main__":
    raise SystemExit(main(*(int(number) for number in sys.argv[1:])))
