"""One organism followed twice through the same draws: with what a course does to it, and without.

How likely is what was seen since the course began, each way, by the draws as what was seen before weighs
them? And how many of so many fish would be counted, each way, on any day? Until the course begins the two
ways are one and the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import msgspec
import numpy as np
from numpy.typing import NDArray

from tankward.knowledge.known import Facts
from tankward.room.acts import Bath

from .bands import effective
from .counts import (
    LEAST,
    Deaths,
    Eyes,
    Heads,
    OnFish,
    Told,
    deaths_expected,
    eyes_of,
    log_likely,
    log_parasites,
    shows,
)
from .fields import InField, log_fields
from .follow import CHARTED_MIN, Followed, prepared
from .from_room import Story
from .learned import Guess, cut, load_at, lost_between, rows_at, sound
from .lives.tables import HOSTED
from .organisms import Life, fish_number
from .outbreak import run
from .record import Record
from .rows import Array
from .simulate import minutes
from .suspect import Seen

MOST_COUNTED = 400  # parasites on fish: the chance of more is that of so many
ENOUGH = 8.0  # draws alike: the chance of what was told is then known to about a third [our own choice]
BITES = 0.5  # of what would be carried otherwise: a course that leaves more is too weak [our own choice]
HALVINGS = 24
LEAST_CHANCE = 1e-300


class Asked(msgspec.Struct, frozen=True, kw_only=True):
    """An organism in its tank, and a course.

    `given`: when the course began; `substances`: those that do nothing the second way; `without`: the tank as
    it would be without what was done, where no substance is what acts; `died`: before the course and since.
    """

    life: Life
    told: Story
    record: Record
    weights: Array
    seen: Seen
    fields: tuple[InField, ...] = ()
    died: tuple[Deaths, ...] = ()
    given: datetime
    now: datetime
    facts: Facts
    substances: frozenset[str] = frozenset()
    without: tuple[Story, Record] | None = None

    def minute(self, at: datetime) -> int:
        """From the record's start."""
        return minutes(at, self.told.start)

    @property
    def begin(self) -> int:
        """From here on it is followed."""
        return self.minute(self.seen.since)

    def early(self, at: datetime) -> bool:
        """Whether it tells how the course found the tank: before it, or the first that tells at all."""
        return at < self.given or at <= self.seen.since


class Way(msgspec.Struct, frozen=True, kw_only=True):
    """One of the two. `before`, `weights`: of its draws, by what was told before the course and by all."""

    found: Followed
    before: Array
    weights: Array
    effective: float


class BothWays(msgspec.Struct, frozen=True, kw_only=True):
    """All three. `bites`: draws in which the course at least halves what is carried; `weak`: the first way's
    other draws; `idle`: it does nothing. `logs`: ln of the chance of what was told since, given what was told
    before, each; `share`: of the draws in which it bites.

    `power`: with which what was told since counts, so that enough draws carry the weight; 1: in full.
    """

    asked: Asked
    eyes: Eyes
    bites: Way
    weak: Way | None
    idle: Way
    logs: tuple[float, float, float]
    share: float
    power: float

    def outcomes(self, way: Way, like: Told) -> Array:
        """Counts × draws: the chance of each count of a look like this one at its instant, none first."""
        load = load_at(way.found, self.eyes, self.asked.minute(like.at), like)
        return outcomes(self.asked.life, self.eyes, like, load)


class Pilots(msgspec.Struct, frozen=True, kw_only=True):
    """First runs, both ways from the same usual beginning; `bites`: what the course leaves of the other way's
    load by the day by which it must have done something.
    """

    acts: Followed
    idle: Followed
    bites: NDArray[np.bool_]


class _Run(msgspec.Struct, frozen=True, kw_only=True):
    """One way, before it is weighed: ln of how likely each draw makes what was told, before and since."""

    found: Followed
    base: Array  # weights of the draws that count, whatever their beginning
    density: Array  # how much likelier each beginning was made than it usually is
    before: Array
    since: Array

    def heavy(self, power: float) -> Array:
        """Of each draw, with what came since to a power; not normed."""
        return np.asarray(self.base / self.density * np.exp(self.before + power * self.since))

    def total(self, power: float) -> float:
        """Z: the chance of what was told."""
        return float(max(self.heavy(power).sum() / self.base.sum(), LEAST_CHANCE))

    def of(self, which: NDArray[np.bool_]) -> _Run | None:
        """Of these draws alone; None where none of them counts."""
        base = np.where(which, self.base, 0.0)
        return msgspec.structs.replace(self, base=base) if base.any() else None


def pilots(asked: Asked, by: datetime) -> Pilots | None:
    """Both ways from what is usual, up to the last look and to `by`; None where nothing touches it."""
    if not touches(asked):
        return None
    guess = Guess(asked.life, eyes_of(asked.life, asked.facts), asked.record, asked.seen, asked.begin)
    start = guess.starts(())[0]
    until = min(max(asked.minute(t) for t in (asked.now, by)), asked.record.minutes[-1])
    acts, idle = (follow_way(asked, start, acting, until) for acting in (True, False))
    return pilots_of(acts, idle, min(asked.minute(by), until))


def pilots_of(acts: Followed, idle: Followed, by: int) -> Pilots:
    """Two runs from one beginning; the course bites where it leaves at most `BITES` by that minute."""
    left = carried_at(acts, by) / np.maximum(carried_at(idle, by), LEAST)
    return Pilots(acts=acts, idle=idle, bites=np.asarray(left <= BITES))


def carried_at(found: Followed, minute: int) -> Array:
    """All that is on and in the fish, of one fish."""
    life = found.course.life
    rows = rows_at(found, minute)
    sits = [r for r, row in enumerate(life.gathered.rows) if row.place in HOSTED]
    return np.asarray(rows[sits].sum(axis=0) / np.maximum(fish_number(life, rows), LEAST))


def both_ways(asked: Asked, first: Pilots) -> BothWays | None:
    """Follow it both ways, begun where the looks point.

    Parameters
    ----------
    asked : Asked
        The organism, its tank, what was told.
    first : Pilots
        How each draw grows and whether the course bites in it.

    Returns
    -------
    BothWays or None
        None where it bites in no draw: then no count can tell it from nothing.

    Notes
    -----
    The chance of what was told since, given what was told before, is Z(all) / Z(before). Z(before) is the
    same both ways, so the mean of its two estimates serves both.
    """
    eyes = eyes_of(asked.life, asked.facts)
    acts, idle = _follow(asked, eyes, first.acts, True), _follow(asked, eyes, first.idle, False)
    bites, weak = acts.of(first.bites), acts.of(~first.bites)
    if bites is None:
        return None
    runs = [r for r in (bites, idle) if r is not None]
    power = _power(runs)
    both = np.mean([r.total(0.0) for r in (acts, idle)])
    logs = [float(np.log(r.total(power) / both)) if r else -np.inf for r in (bites, weak, idle)]
    return BothWays(
        asked=asked,
        eyes=eyes,
        bites=_weighed(bites, power),
        weak=_weighed(weak, power) if weak else None,
        idle=_weighed(idle, power),
        logs=(logs[0], logs[1], logs[2]),
        share=float(bites.base.sum() / acts.base.sum()),
        power=power,
    )


def touches(asked: Asked) -> bool:
    """Whether anything that is known acts on it: a substance in water, food or bath, or what was done."""
    if asked.without is not None:
        return True
    made = prepared(asked.life, asked.told, asked.record, asked.begin, None, asked.facts)
    reach = [r for r in (*made.course.reach, *made.course.feed) if r.substance in asked.substances]
    bathed = any(r.route == "bath" and r.substance in asked.substances for r in asked.life.organism.kill)
    return bool(reach) or (bathed and any(isinstance(act, Bath) for _, act in asked.told.acts))


def _follow(asked: Asked, eyes: Eyes, pilot: Followed, acting: bool) -> _Run:
    """One way, begun where the looks point by how each draw grew in the pilot."""
    guess = Guess(asked.life, eyes, asked.record, asked.seen, asked.begin)
    told = []
    for look in _guiding(asked):
        one = np.maximum(load_at(pilot, eyes, asked.begin, look), LEAST)
        told.append((look, load_at(pilot, eyes, asked.minute(look.at), look) / one))
    start, density, _ = guess.starts(told)
    found = follow_way(asked, start, acting, None)
    base = np.where(sound(found), asked.weights, 0.0)
    before, since = _told(asked, eyes, found)
    return _Run(found=found, base=base, density=density, before=before, since=since)


def _guiding(asked: Asked) -> list[Told]:
    """The first look, the last before the course and the last: they only choose where a run begins, and the
    weights take the choice back exactly.
    """
    told = asked.seen.told
    early = [t for t in told if asked.early(t.at)]
    return list(dict.fromkeys((*told[:1], *early[-1:], *told[-1:])))


def follow_way(asked: Asked, start: Array, acting: bool, until: int | None) -> Followed:
    """A run; the idle one without the effect of the substances, or without what was done."""
    told, record = asked.told, asked.record
    if not acting and asked.without is not None:
        told, record = asked.without
    if not acting:
        told = msgspec.structs.replace(told, acts=tuple(_unbathed(told, asked.substances)))
    made = prepared(
        asked.life, told, record if until is None else cut(record, until), asked.begin, start, asked.facts
    )
    course = made.course
    if not acting:
        course = msgspec.structs.replace(
            course,
            reach=tuple(r for r in course.reach if r.substance not in asked.substances),
            feed=tuple(r for r in course.feed if r.substance not in asked.substances),
        )
    passed = run(course, apart=CHARTED_MIN)
    return Followed(course=course, passed=passed, unknown=made.unknown, silent=made.silent)


def _unbathed(told: Story, substances: frozenset[str]) -> list[tuple[datetime, object]]:
    return [(at, a) for at, a in told.acts if not (isinstance(a, Bath) and substances & set(a.actives))]


def _told(asked: Asked, eyes: Eyes, found: Followed) -> tuple[Array, Array]:
    """ln of how likely each draw makes what was told before the course, and what was told since."""
    out = [np.zeros(asked.life.draws), np.zeros(asked.life.draws)]
    for told in asked.seen.told:
        load = load_at(found, eyes, asked.minute(told.at), told)
        out[not asked.early(told.at)] += log_likely(asked.life, eyes, told, load)
    for dead in asked.died:
        span = lost_between(found, asked.minute(dead.since), asked.minute(dead.at))
        mean, size = deaths_expected(*span, eyes)
        out[not dead.at <= max(asked.given, asked.seen.since)] += log_parasites(dead.number, mean, size)
    fields = [_field_logs(asked, eyes, found, kept) for kept in (_early(asked), asked.fields)]
    return out[0] + fields[0], out[1] + fields[1] - fields[0]


def _early(asked: Asked) -> tuple[InField, ...]:
    return tuple(f for f in asked.fields if asked.early(f.at))


def _field_logs(asked: Asked, eyes: Eyes, found: Followed, fields: Sequence[InField]) -> Array:
    loads = np.array([load_at(found, eyes, asked.minute(f.at)) for f in fields])
    return log_fields(fields, loads) if fields else np.zeros(asked.life.draws)


def _power(runs: Sequence[_Run]) -> float:
    """The highest power up to 1 with which what was told since leaves enough draws, both ways."""
    least = [min(ENOUGH, 0.9 * effective(r.heavy(0.0))) for r in runs]

    def enough(power: float) -> bool:
        return all(effective(r.heavy(power)) >= few for r, few in zip(runs, least, strict=True))

    if enough(1.0):
        return 1.0
    low, top = 0.0, 1.0
    for _ in range(HALVINGS):
        middle = (low + top) / 2.0
        low, top = (middle, top) if enough(middle) else (low, middle)
    return low


def _weighed(one: _Run, power: float) -> Way:
    before, heavy = one.heavy(0.0), one.heavy(power)
    return Way(
        found=one.found, before=before / before.sum(), weights=heavy / heavy.sum(), effective=effective(heavy)
    )


def outcomes(life: Life, eyes: Eyes, like: Told, load: Array) -> Array:
    """Counts × draws: the chance of each number a look may give, none first.

    Parameters
    ----------
    like : Heads or OnFish
        Its sign and how many are looked at; its own number does not matter.
    load : array
        What is carried then, of each draw.
    """
    if isinstance(like, OnFish):
        mean, size = np.maximum(load, 1e-6) * like.of, eyes.size * like.of
        return negative_binomial(mean, size, MOST_COUNTED)
    return beta_binomial(like.of, shows(life, eyes, load, like.sign), eyes.alike)


def beta_binomial(of: int, chance: Array, alike: Array) -> Array:
    """The chance of 0 to `of` heads, one below the other; by the ratio of each to the one before it."""
    total = 1.0 / alike - 1.0
    yes, no = chance * total, (1.0 - chance) * total
    k = np.arange(of)[:, None]
    ratio = (of - k) * (yes + k) / ((k + 1.0) * (no + of - k - 1.0))
    return _from_ratios(ratio)


def negative_binomial(mean: Array, size: Array, most: int) -> Array:
    """The chance of 0 to `most`, the last that of so many or more."""
    share = mean / (mean + size)
    logs = [size * np.log1p(-share)]
    for k in range(most):
        logs.append(logs[-1] + np.log(share * (size + k) / (k + 1.0)))
    each = np.exp(np.array(logs))
    each[-1] += np.maximum(1.0 - each.sum(axis=0), 0.0)
    return np.asarray(each)


def _from_ratios(ratio: Array) -> Array:
    logs = np.vstack([np.zeros(ratio.shape[1]), np.cumsum(np.log(np.maximum(ratio, 1e-300)), axis=0)])
    each = np.exp(logs - logs.max(axis=0))
    return np.asarray(each / each.sum(axis=0))


def looked_like(at: datetime, last: Told | None, sign: str, of: int) -> Told:
    """A look to come: like the last one, of so many; heads with this sign where there was none."""
    if isinstance(last, OnFish):
        return OnFish(at=at, sign=last.sign, number=0, of=of)
    return Heads(at=at, sign=last.sign if last else sign, low=0, high=0, of=of)
