"""What looks teach of an organism: it is followed from the first of them, and each reweighs the draws.

How many there were at the first look nobody knows: the facts give what is usual when a keeper first sees it.
Of each draw half of the chance stays there and half goes to where the looks point, by a grid over that one
number; the weights take the choice back exactly. So few draws are lost, and the same run serves with and
without the counts. Where the looks lie apart, a first run up to the last of them tells how each draw grows in
between.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime

import msgspec
import numpy as np

from tankward.knowledge import rules
from tankward.knowledge.known import Facts
from tankward.knowledge.temperature import parameters

from . import bands
from .counts import (
    LEAST,
    Deaths,
    Eyes,
    OnFish,
    Told,
    carried,
    deaths_expected,
    eyes_of,
    log_likely,
    log_parasites,
    speaks_of,
    tails,
)
from .follow import Followed, follow, prepared
from .from_room import Story
from .lives.columns import shares
from .organisms import Life, fish_number, start_of
from .outbreak import Passed
from .record import Record
from .rows import Array
from .simulate import minutes
from .still_there import Lived, no_more, with_dead, without_dead
from .suspect import Seen

CELLS = 64  # of the grid over the number at the first look
ASIDE = 0.5  # of each draw's chance that goes where the looks point
UNEXPLAINED = 0.02  # chance of a count, or of one further out, below which nothing here explains it [memory]
GROWTH_D = 3.0  # at least so long is a growth taken over
DAY_MIN = 1440.0


class Explained(msgspec.Struct, frozen=True, kw_only=True):
    """How the draws, weighed by what was told before, explain one look or the deaths.

    `more`, `fewer`: the chance of as much or more, of as much or less.
    """

    told: Told | Deaths
    more: float
    fewer: float

    @property
    def off(self) -> str:
        """ "more" or "fewer" than this explains, or ""."""
        return "more" if self.more < UNEXPLAINED else "fewer" if self.fewer < UNEXPLAINED else ""


class Learned(msgspec.Struct, frozen=True, kw_only=True):
    """One organism followed, with the draws as they weigh without and with what was counted.

    `power`: the counts count with this power (1: in full), so that enough draws carry the weight. `growth`:
    of each draw, of what is on the fish, in ln a day.
    """

    found: Followed
    plain: Array
    weights: Array
    effective: float
    power: float
    growth: Array
    explained: tuple[Explained, ...]
    eyes: Eyes

    def read(self) -> Iterator[tuple[Told, Array]]:
        """Each count, with how many it speaks of on one fish in each draw, or what share is ill."""
        life = self.found.course.life
        for told in (e.told for e in self.explained):
            if not isinstance(told, Deaths) and told.counted:
                yield told, speaks_of(life, self.eyes, told)

    @property
    def fits(self) -> bool:
        """Whether each count was explained by those before it and the facts."""
        return not any(e.off for e in self.explained)


def learned(
    life: Life, told: Story, record: Record, weights: Array, seen: Seen, now: datetime, facts: Facts
) -> Learned:
    """An organism followed from when it was first seen, its draws weighed by every look since.

    Parameters
    ----------
    life : Life
        The organism in its tank.
    told : Story
        What was done there and is planned.
    record : Record
        Of its water over the same span.
    weights : array
        Of the record's draws, by the readings.
    seen : Seen
        What the looks tell, and who died.
    now : datetime
        Looks and deaths lie before it.
    facts : Facts
        How well a look sees.
    """
    here, b = minutes(now, told.start), begun(life, told, record, seen, facts)
    found = with_dead(follow(life, b.lived.told, record, b.begin, b.start, facts), b.lived, here)
    plain = np.where(sound(found), weights / b.density, 0.0)
    logs, explained = _explained(found, b.eyes, b.looks, seen, here, plain)
    power, heavy = tempered(plain, logs, b.whole)
    return Learned(
        found=found,
        plain=plain / plain.sum(),
        weights=heavy / heavy.sum(),
        effective=bands.effective(heavy),
        power=power,
        growth=growth(found, b.eyes, b.begin, here),
        explained=explained,
        eyes=b.eyes,
    )


class Begun(msgspec.Struct, frozen=True, kw_only=True):
    """Where an organism begins, for what looks tell: minute of the first, how many on one fish, by how much
    likelier that was made than it is, ln of how likely a draw makes the looks whatever its beginning.
    """

    begin: int
    eyes: Eyes
    lived: Lived
    looks: list[tuple[int, Told]]
    start: Array
    density: Array
    whole: Array


def begun(life: Life, told: Story, record: Record, seen: Seen, facts: Facts) -> Begun:
    """The beginning of each draw, by every look."""
    begin, eyes = minutes(seen.since, told.start), eyes_of(life, facts)
    guess = Guess(life, eyes, record, seen, begin)
    lived = without_dead(told, seen.dead_at)
    looks = [(minutes(t.at, told.start), t) for t in seen.told]
    later = max((m for m, _ in looks), default=begin)
    grown = [np.ones(life.draws) for _ in looks]
    if later > begin:
        first = guess.starts([(t, g) for (m, t), g in zip(looks, grown, strict=True) if m == begin])[0]
        pilot = follow(life, lived.told, cut(record, later), begin, first, facts)
        for n, (m, t) in enumerate(looks):
            before = np.maximum(load_at(pilot, eyes, begin, t), LEAST)
            grown[n] = load_at(pilot, eyes, m, t) / before
    start, density, whole = guess.starts([(t, g) for (_, t), g in zip(looks, grown, strict=True)])
    return Begun(begin=begin, eyes=eyes, lived=lived, looks=looks, start=start, density=density, whole=whole)


class SoFar(msgspec.Struct, frozen=True, kw_only=True):
    """An organism up to now: its rows, the weights of its draws with all that was told, how long the fish
    have carried it, and the story without those who died of it (`still_there`).
    """

    rows: Array
    weights: Array
    infected_d: float
    lived: Lived


def so_far(
    life: Life, told: Story, record: Record, weights: Array, seen: Seen, now: datetime, facts: Facts
) -> SoFar:
    """As `learned`, up to now alone: `record` ends there."""
    here, b = minutes(now, told.start), begun(life, told, record, seen, facts)
    if b.begin < here:
        found = follow(life, b.lived.told, record, b.begin, b.start, facts)
    else:
        made = prepared(life, b.lived.told, record, here, b.start, facts)
        passed = Passed(minutes=(here,), rows=made.course.start[None])
        found = Followed(course=made.course, passed=passed, unknown=made.unknown, silent=made.silent)
    plain = np.where(sound(found), weights / b.density, 0.0)
    logs, _ = _explained(found, b.eyes, b.looks, seen, here, plain)
    heavy = tempered(plain, logs, b.whole)[1]
    return SoFar(
        rows=no_more(found, b.lived, here, found.passed.rows[-1]),
        weights=heavy / heavy.sum(),
        infected_d=(here - b.begin) / DAY_MIN,
        lived=b.lived,
    )


class Guess:
    """Where each draw begins."""

    def __init__(self, life: Life, eyes: Eyes, record: Record, seen: Seen, begin: int) -> None:
        self.life, self.eyes = life, eyes
        usual = parameters(life.organism)["start", "", ""]
        early = eyes.early if seen.told and (seen.counted or not seen.told[0].low) else 1.0
        self.usual = msgspec.structs.replace(usual, low=tuple(low * early for low in usual.low))
        self.u = shares("start", life.draws)
        place = max(int(np.searchsorted(record.minutes, begin, side="right")) - 1, 0)
        self.one = start_of(life, np.ones(life.draws), record.levels("temp_c")[place])

    def starts(self, told: Sequence[tuple[Told, Array]]) -> tuple[Array, Array, Array]:
        """For each draw how many at the first look, how much likelier that was made than it usually is, and
        ln of how likely the draw makes the looks, whatever the beginning.

        `told`: each look, with what each draw's load is then for one at the first look.
        """
        share = (np.arange(CELLS) + 0.5) / CELLS
        usual = self.usual.draw(share, 0.0, 1.0)[:, None]
        logs = np.zeros((CELLS, self.life.draws))
        for look, grown in told:
            one = carried(self.life, self.eyes, self.one, single=isinstance(look, OnFish))
            logs += log_likely(self.life, self.eyes, look, usual * one * grown)
        likely = np.exp(logs - logs.max(axis=0))
        density = 1.0 - ASIDE + ASIDE * likely / likely.mean(axis=0)
        reached = np.vstack([np.zeros(self.life.draws), np.cumsum(density, axis=0)]) / CELLS
        edges = np.linspace(0.0, 1.0, CELLS + 1)
        at = np.array([np.interp(u, reached[:, d], edges) for d, u in enumerate(self.u)])
        cell = np.minimum((at * CELLS).astype(int), CELLS - 1)
        start = self.usual.draw(np.clip(at, 0.5 / CELLS / CELLS, 1.0 - 0.5 / CELLS / CELLS), 0.0, 1.0)
        whole = logs.max(axis=0) + np.log(likely.mean(axis=0))
        return start, density[cell, np.arange(self.life.draws)], whole


def cut(record: Record, end: int) -> Record:
    """A record up to a minute, and one instant on."""
    keep = min(int(np.searchsorted(record.minutes, end, side="right")) + 1, len(record.minutes))
    arrays = {name: levels[:keep] for name, levels in record.arrays.items()}
    return msgspec.structs.replace(record, minutes=record.minutes[:keep], arrays=arrays)


def load_at(found: Followed, eyes: Eyes, minute: float, told: Told | None = None) -> Array:
    """What is carried at an instant, as this look sees it."""
    life = found.course.life
    return carried(life, eyes, rows_at(found, minute), single=isinstance(told, OnFish))


def rows_at(found: Followed, minute: float) -> Array:
    """The rows at an instant: what happens then has happened."""
    times = np.array(found.passed.minutes)
    here = int(np.clip(np.searchsorted(times, minute, side="right") - 1, 0, len(times) - 1))
    there = min(here + 1, len(times) - 1)
    span = times[there] - times[here]
    share = float(np.clip((minute - times[here]) / span, 0.0, 1.0)) if span > 0 else 0.0
    rows = found.passed.rows
    return np.asarray((1.0 - share) * rows[here] + share * rows[there])


def growth(found: Followed, eyes: Eyes, begin: int, here: int) -> Array:
    """Of what is carried, from the first look to now, or over its first days. [ln/d]"""
    until = min(max(here, begin + GROWTH_D * DAY_MIN), found.passed.minutes[-1])
    first, last = (np.maximum(load_at(found, eyes, m), LEAST) for m in (begin, until))
    return np.asarray(np.log(last / first) / ((until - begin) / DAY_MIN))


def _explained(
    found: Followed,
    eyes: Eyes,
    looks: Sequence[tuple[int, Told]],
    seen: Seen,
    here: int,
    plain: Array,
) -> tuple[Array, tuple[Explained, ...]]:
    """ln of how likely each draw makes all that was told; and how each was explained, one after the other."""
    life, logs, rows = found.course.life, np.zeros(plain.size), []
    for minute, told in looks:
        load = load_at(found, eyes, minute, told)
        rows.append(_held(told, tails(life, eyes, told, load), plain, logs))
        logs = logs + log_likely(life, eyes, told, load)
    if seen.deaths is not None:
        mean, size = deaths_expected(*lost_between(found, found.course.begin, here), eyes)
        each = [np.exp(log_parasites(k, mean, size)) for k in range(seen.deaths.number + 1)]
        fewer = np.asarray(sum(each))
        rows.append(_held(seen.deaths, (1.0 - fewer + each[-1], fewer), plain, logs))
        logs = logs + np.log(np.maximum(each[-1], np.exp(-700.0)))
    return logs, tuple(rows)


def sound(found: Followed) -> Array:
    """Whether the numbers of a draw stayed numbers of animals; one whose steps ran away weighs nothing."""
    rows = found.passed.rows
    return np.asarray((np.isfinite(rows) & (rows > -1.0)).all(axis=(0, 1)))


def lost_between(found: Followed, begin: int, until: int) -> tuple[Array, Array]:
    """Fish that died of it between two minutes, and days that fish lived through there."""
    life = found.course.life
    then, now = rows_at(found, begin), rows_at(found, until)
    lost = (now - then)[life.table.lost] if life.table.lost else np.zeros(life.draws)
    alive = (fish_number(life, then) + fish_number(life, now)) / 2.0
    return lost, alive * (until - begin) / DAY_MIN


def _held(told: Told | Deaths, ends: tuple[Array, Array], plain: Array, logs: Array) -> Explained:
    heavy = plain * np.exp(logs - logs.max())
    more, fewer = (float((end * heavy).sum() / heavy.sum()) for end in ends)
    return Explained(told=told, more=more, fewer=fewer)


def tempered(plain: Array, logs: Array, whole: Array) -> tuple[float, Array]:
    """The highest power up to 1 with which the counts leave enough draws, and the weights with it.

    Notes
    -----
    `whole` is how likely a draw is whatever its beginning, and takes the power first: so more draws are kept,
    and each still begins where the counts say. Where that is not enough the rest takes it too.
    """
    enough = min(rules.figure("least_effective_draws"), 0.9 * bands.effective(plain))
    within, between = logs - whole, whole - whole.max()

    def heavy(power: float) -> Array:
        return _heavy(plain, within + power * between)

    if bands.effective(heavy(1.0)) >= enough:
        return 1.0, heavy(1.0)
    if bands.effective(heavy(0.0)) >= enough:
        return _highest(heavy, enough)

    def light(power: float) -> Array:
        return _heavy(plain, power * within)

    return 0.0, _highest(light, enough)[1]


def _heavy(plain: Array, logs: Array) -> Array:
    return np.asarray(plain * np.exp(logs - logs.max()))


def _highest(heavy: Callable[[float], Array], enough: float) -> tuple[float, Array]:
    low, top = 0.0, 1.0
    for _ in range(30):
        middle = (low + top) / 2.0
        low, top = (middle, top) if bands.effective(heavy(middle)) >= enough else (low, middle)
    return low, heavy(low)
