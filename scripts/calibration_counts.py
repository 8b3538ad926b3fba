"""Writes docs/calibration_counts.md: whether what is learned from counts is as sure as it says.

`python scripts/calibration_counts.py` invents 1,000 outbreaks, counts fish in them as a keeper would, and
asks where the truth lies among the draws as the counts weigh them: anywhere, evenly, if they weigh right.
Then the same with a truth that grows twice as fast as the learner believes, and with a learner who believes
that a look misses nobody: both must show. Takes some minutes.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

import msgspec
import numpy as np

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from scripts.calibration_page import AS_IT_IS, DOUBLED, PERFECT, drawn, page  # noqa: E402
from tankward.knowledge.known import Facts  # noqa: E402
from tankward.knowledge.loader import load  # noqa: E402
from tankward.model import bands  # noqa: E402
from tankward.model.clearance import gone_by  # noqa: E402
from tankward.model.counts import Deaths, Eyes, Heads, deaths_expected, eyes_of, shows  # noqa: E402
from tankward.model.follow import Followed, follow, herd_of  # noqa: E402
from tankward.model.from_room import Story, story  # noqa: E402
from tankward.model.learned import Guess, growth, learned, load_at, lost_between, sound  # noqa: E402
from tankward.model.organisms import life_of  # noqa: E402
from tankward.model.outlook import from_now, narrowed  # noqa: E402
from tankward.model.record import Record  # noqa: E402
from tankward.model.rows import Array  # noqa: E402
from tankward.model.run import warm  # noqa: E402
from tankward.model.simulate import minutes, simulate  # noqa: E402
from tankward.model.suspect import Seen  # noqa: E402
from tankward.room.acts import AnyAct, Dose  # noqa: E402
from tankward.room.text import room_of_text  # noqa: E402

PAGE, PICTURE = ROOT / "docs" / "calibration_counts.md", "calibration_counts.svg"
NOW = datetime(2026, 3, 7, 9, 0, tzinfo=UTC)
START = NOW - timedelta(days=7)
AHEAD_D = 7  # of the chance that it is gone
FISH, LEARNS, TRUTHS = 20, 128, 1024
SEED = 20260307
GROWS = {"growth": 1, "reproduction": 1, "invade": 1}  # powers of how many times as fast
BEARS = {"natural": 1, "first_birth": -1, "next_birth": -1}  # of what bears at an age: all of its life
TANK = """
1 February 2026 08:00  tank     T  volume="54 L" temp=25C filter=sponge filter-age="20 weeks" light=8h
1 February 2026 08:05  stock    T  kind=guppy number=20 length=3cm
"""


class Kind(msgspec.Struct, frozen=True, kw_only=True):
    """A kind of outbreak: which organism, what is counted, on which days before now, what is done now."""

    name: str
    organism: str
    sign: str
    days: tuple[int, ...]
    planned: tuple[AnyAct, ...] = ()


KINDS = (
    Kind(
        name="white spot, salt begun today", organism="ichthyophthirius", sign="white_spots", days=(5, 3, 1),
        planned=(Dose(actives={"sodium_chloride": 135_000.0}),),
    ),
    Kind(
        name="skin flukes, praziquantel today", organism="gyrodactylus", sign="flashing", days=(6, 4, 0),
        planned=(Dose(actives={"praziquantel": 135.0}),),
    ),
    Kind(name="columnaris, untreated", organism="columnaris", sign="saddle_patch", days=(4, 2, 1)),
)  # fmt: skip


class World(msgspec.Struct, frozen=True, kw_only=True):
    """The tank of one kind: what happens there, its water in every draw."""

    kind: Kind
    told: Story
    record: Record
    begin: int
    here: int


class Truth(msgspec.Struct, frozen=True, kw_only=True):
    """Outbreaks as they are, one for each draw."""

    found: Followed
    eyes: Eyes
    values: tuple[Array, ...]


def world_of(kind: Kind, facts: Facts) -> World:
    """The tank, its water run once."""
    told = story(room_of_text(TANK), "t", START, NOW, facts, [(NOW, act) for act in kind.planned])
    hours = (7 + AHEAD_D) * 24.0
    record = simulate(told.setup, told.acts, facts, start=START, hours=hours, draws=TRUTHS, marks=(NOW,))
    begin = minutes(NOW - timedelta(days=kind.days[0]), START)
    return World(kind=kind, told=told, record=record, begin=begin, here=minutes(NOW, START))


def truth_of(world: World, facts: Facts) -> Truth:
    """1,024 outbreaks, each with numbers of its own, begun as one that is counted begins."""
    life = life_of(facts, world.kind.organism, herd_of(world.told, facts, TRUTHS), TRUTHS)
    eyes = eyes_of(life, facts)
    seen = Seen(since=NOW, told=(heads(world, 0, 1),))
    start, _, _ = Guess(life, eyes, world.record, seen, world.begin).starts(())
    found = follow(life, world.told, world.record, world.begin, start, facts)
    return Truth(found=found, eyes=eyes, values=values_of(found, eyes, world))


def values_of(found: Followed, eyes: Eyes, world: World) -> tuple[Array, ...]:
    """What is asked of each draw."""
    life = found.course.life
    plain = msgspec.structs.replace(eyes, by_stage={s: np.ones(life.draws) for s in eyes.by_stage})
    gone = gone_by(from_now(found, world.here), [world.record.minutes[-1]]).chance[0]
    return load_at(found, plain, world.here), growth(found, plain, world.begin, world.here), gone


def heads(world: World, n: int, number: int) -> Heads:
    """The n-th look."""
    at = NOW - timedelta(days=world.kind.days[n])
    return Heads(at=at, sign=world.kind.sign, low=number, high=number, of=FISH)


def counted(world: World, truth: Truth, draw: int, chance: np.random.Generator) -> Seen:
    """What a keeper counts in one outbreak, and who is found dead."""
    life, told = truth.found.course.life, []
    for n, day in enumerate(world.kind.days):
        load = load_at(truth.found, truth.eyes, world.here - day * 1440)
        p, total = shows(life, truth.eyes, load, world.kind.sign)[draw], 1.0 / truth.eyes.alike[draw] - 1.0
        told.append(heads(world, n, int(chance.binomial(FISH, chance.beta(p * total, (1.0 - p) * total)))))
    mean, size = deaths_expected(*lost_between(truth.found, world.begin, world.here), truth.eyes)
    share = size[draw] / (size[draw] + mean[draw])
    dead = Deaths(since=told[0].at, at=NOW, number=int(chance.negative_binomial(size[draw], share)))
    return Seen(since=told[0].at, told=tuple(told), deaths=dead)


def ranked(world: World, truth: Truth, learner: Facts, draws: Sequence[int], seed: int = SEED) -> Array:
    """Where each truth lies among what was learned, 0 to 1: outbreaks × quantities."""
    record = narrowed(world.record, LEARNS)
    life = life_of(learner, world.kind.organism, herd_of(world.told, learner, LEARNS), LEARNS)
    chance = np.random.default_rng(seed)
    even, rows = np.full(LEARNS, 1.0 / LEARNS), []
    for draw in draws:
        seen = counted(world, truth, draw, chance)
        lesson = learned(life, world.told, record, even, seen, NOW, learner)
        learnt = values_of(lesson.found, lesson.eyes, world)
        rows.append([
            place(float(real[draw]), values, lesson.weights, chance.random())
            for real, values in zip(truth.values, learnt, strict=True)
        ])  # fmt: skip
    return np.array(rows)


def place(real: float, values: Array, weights: Array, u: float) -> float:
    """The rank of the truth among weighted draws; among equals, and between two, at random."""
    n = bands.effective(weights)
    under, same = (float(weights[w].sum()) for w in (values < real, values == real))
    return (n * (under + u * same) + u) / (n + 1.0) if same == 0.0 else under + u * same


def faster(facts: Facts, organism: str, times: float = 2.0) -> Facts:
    """Facts by which it grows so many times as fast."""
    found = facts.organisms[organism]
    drawn_names = {p.name for p in found.parameter if p.use}
    powers = BEARS if "first_birth" in drawn_names else GROWS
    if not powers.keys() & drawn_names:
        raise ValueError(f"nothing of {organism} says how fast it grows")
    by = {name: times**power for name, power in powers.items()}
    rows = tuple(
        msgspec.structs.replace(p, low=p.low * by[p.name], high=p.high * by[p.name]) if p.name in by else p
        for p in found.parameter
    )
    return _with(facts, msgspec.structs.replace(found, parameter=rows))


def seeing_all(facts: Facts, organism: str) -> Facts:
    """Facts by which a look misses nobody."""
    found = facts.organisms[organism]
    rows = tuple(
        msgspec.structs.replace(p, low=1.0, high=1.0) if p.name == "seen_eye" and p.high > 0.1 else p
        for p in found.parameter
    )
    finds = msgspec.structs.replace(facts.conversion["look_finds"], low=1.0, high=1.0)
    all_seen = msgspec.structs.replace(facts, conversion={**facts.conversion, "look_finds": finds})
    return _with(all_seen, msgspec.structs.replace(found, parameter=rows))


def _with(facts: Facts, found: object) -> Facts:
    organisms = {**facts.organisms, found.id: found}  # type: ignore[attr-defined]
    return msgspec.structs.replace(facts, organisms=organisms)


def usable(truth: Truth, number: int) -> list[int]:
    """The first draws that the learner has none of; one that ran away is no outbreak."""
    return [int(d) for d in np.flatnonzero(sound(truth.found)) if d >= LEARNS][:number]


def main(each: int = 334, wrong: int = 334) -> int:
    """Write the page and its picture; 1 where it is not as it must be."""
    warm(wait=True)
    facts = load()
    found: dict[str, dict[str, Array]] = {AS_IT_IS: {}, DOUBLED: {}, PERFECT: {}}
    for kind in KINDS:
        world = world_of(kind, facts)
        truth = truth_of(world, facts)
        found[AS_IT_IS][kind.name] = ranked(world, truth, facts, usable(truth, each))
        fast = truth_of(world, faster(facts, kind.organism))
        found[DOUBLED][kind.name] = ranked(world, fast, facts, usable(fast, wrong))
        sees = seeing_all(facts, kind.organism)
        found[PERFECT][kind.name] = ranked(world, truth, sees, usable(truth, wrong))
    (PAGE.parent / PICTURE).write_text(drawn(found[AS_IT_IS]), encoding="utf-8")
    text, right = page(found)
    PAGE.write_text(text, encoding="utf-8")
    return 0 if right else 1


if __name__ == "__main__":
    raise SystemExit(main(*(int(number) for number in sys.argv[1:])))
