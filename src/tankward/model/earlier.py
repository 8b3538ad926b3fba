"""What readings during earlier courses taught of a tank: its own numbers, kept by replay and nowhere else.

A later run draws the same numbers of the tank from the same columns, so a draw that explained what was read
then weighs more now: its filter, its exchange of gas, how fast a drug goes in it. What was of that time alone
(what the water held at the beginning, the thermometer, other fish) is drawn apart and teaches nothing. What
was taught fades with its age, and is never let take more than three quarters of the draws.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime, timedelta
from functools import lru_cache
from itertools import pairwise

import msgspec
import numpy as np

from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.room.acts import Dose
from tankward.room.entries.photos import PhotoAdded
from tankward.room.entries.tanks import TankAdded
from tankward.room.replay import Room
from tankward.room.things import SIZES
from tankward.room.treated import Treated, treated

from .draws import columns, renamed
from .events import Timed
from .from_room import Story, estimate_of, story
from .kits import KITS, alkalinity
from .known import dissolved
from .parameters import carried_fact
from .prepare import substances_of
from .processes.substances import SLOTS
from .rows import Array
from .setup import Setup
from .simulate import minutes, simulate
from .weigh import Evidence, enough, tempered

MOST = 2  # courses that are looked back at [our own choice]
LONGEST = timedelta(days=30)  # of one of them [our own choice]
AROUND = timedelta(days=7)  # readings so long before and after it count with it [our own choice]
LEAD = timedelta(days=3)  # a run begins so long before its first reading [our own choice]
HALF = timedelta(days=60)  # what was taught counts for half after so long [our own choice]
KEEPS = 0.25  # so many of the draws stay, whatever was taught [our own choice]
# Numbers of that time, not of the tank.
OF_THEN = (
    "temp_c", "ph", "light_h", "room_temp_c", "carbonate", "reading_ammonia_n", "reading_nitrite_n",
    "reading_nitrate_n", "reading_oxygen", "reading_kh",
)  # fmt: skip
OF_ITS_AGE = ("filter_start", "second_guild_lag")  # drawn from another range in a filter of another age
OF_THE_FISH = ("fish_g",)  # how far their weight is off what was told; of other fish it is another number

Prior = Callable[[int], Array]  # of so many draws -> ln of the weight of each


class Stretch(msgspec.Struct, frozen=True, kw_only=True):
    """One course with its readings: from when to when it is run again."""

    course: str
    start: datetime
    end: datetime


def earlier(room: Room, told: Story, facts: Facts) -> Prior | None:
    """The weight of each draw by what earlier courses taught; None where they taught nothing.

    Parameters
    ----------
    room : Room
        The logbook, replayed.
    told : Story
        What is run now: readings from its start on are its own.
    facts : Facts
        The facts.
    """
    found = stretches(room, told.tank.id, told.start)
    if not found:
        return None
    now = _names_now(told, facts)

    def prior(draws: int) -> Array:
        log = np.zeros(draws)
        for one in found:
            age = (told.start - one.end) / HALF
            log = log + 0.5 ** max(age, 0.0) * _taught(_Key(room, facts), told.tank.id, one, now, draws)
        return np.asarray(_kept(log, draws, facts))

    return prior


def expected(room: Room, told: Story, facts: Facts) -> Story:
    """The same with room for what earlier courses gave and is long gone, at a level of nought.

    Whoever goes on from there with one of them then draws it by the numbers that were taught of it. Where
    another one was first given within the days of `told`, it keeps its place and nothing is added.
    """
    order = _order(told, facts)
    if any(one not in told.setup.levels for one in order):
        return told
    found = stretches(room, told.tank.id, told.start)
    given = [act for one in found for at, act in room.acts(told.tank.id) if one.start <= at <= one.end]
    ids = dict.fromkeys(s for act in given if isinstance(act, Dose) for s in sorted(act.actives))
    gone = [s for s in ids if s not in order and dissolved(facts, s)][: max(SLOTS - 1 - len(order), 0)]
    if not gone:
        return told
    levels = {**told.setup.levels, **dict.fromkeys(gone, Estimate.exact(0.0))}
    setup = msgspec.structs.replace(told.setup, levels=levels)
    return msgspec.structs.replace(told, setup=setup)


def _kept(log: Array, draws: int, facts: Facts) -> Array:
    """Tempered, so that enough draws are left to learn with."""
    weights, _ = tempered(log, max(enough(draws, facts), KEEPS * draws))
    return np.asarray(np.log(np.maximum(weights, np.finfo(float).tiny) * draws))


def stretches(room: Room, tank: str, before: datetime) -> tuple[Stretch, ...]:
    """The last courses before an instant during or around which the water was read, the newest first."""
    since = _described(room, tank)
    found: list[Stretch] = []
    until = before
    for one in reversed([t for t in treated(room, tank) if since <= t.begun.at < before]):
        read = _read(room, one, until)
        if not read:
            continue
        start = max(read[0] - LEAD, since, read[-1] - LONGEST).replace(minute=0, second=0, microsecond=0)
        found.append(Stretch(course=one.begun.id, start=start, end=read[-1]))
        until = read[0]
        if len(found) == MOST:
            break
    return tuple(found)


def _read(room: Room, one: Treated, until: datetime) -> list[datetime]:
    """When it was read during a course or around it."""
    end = until if one.runs else min(one.last_given + AROUND, until)
    told = [e for e in room.readings(one.tank) if one.begun.at - AROUND <= e.at <= end and e.at < until]
    return [e.at for e in told if any(r.quantity in KITS for r in e.values)]


def _described(room: Room, tank: str) -> datetime:
    """Since when the tank has been what it is: another filter or another size is another tank."""
    told = [e for e in room.of_tank(tank) if isinstance(e, TankAdded)]
    since = told[0].at if told else room.log[0].at
    for old, new in pairwise(told):
        if any(getattr(old.thing, n) != getattr(new.thing, n) for n in ("filter", "filter_age_d", *SIZES)):
            since = new.at
    return since


class _Now(msgspec.Struct, frozen=True):
    """By what the run of now draws: its substances in their order, the range of its filter, its fish."""

    substances: tuple[str, ...]
    filter: tuple[str, str]
    grams: Estimate | None


def _grams(setup: Setup) -> Estimate | None:
    return setup.living.mass_g if setup.living else None


def _names_now(told: Story, facts: Facts) -> _Now:
    return _Now(_order(told, facts), carried_fact(told.setup, facts), _grams(told.setup))


def _order(told: Story, facts: Facts) -> tuple[str, ...]:
    timed = [Timed(minutes(at, told.start), act) for at, act in told.acts]
    return tuple(r.id for r in substances_of(told.setup, timed, facts))


class _Key(msgspec.Struct, frozen=True, eq=False):
    """A room and the facts as a key: the same entries and facts give the same answer."""

    room: Room
    facts: Facts

    @property
    def _own(self) -> tuple[object, ...]:
        # A photo changes nothing that is run.
        ids = tuple(e.id for e in self.room.log if not isinstance(e, PhotoAdded))
        return len(ids), hash(ids), self.facts.digest

    def __hash__(self) -> int:
        return hash(self._own)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and self._own == other._own


@lru_cache(maxsize=32)
def _taught(key: _Key, tank: str, one: Stretch, now: _Now, draws: int) -> Array:
    """ln of how well each draw explains what was read then."""
    room, facts = key.room, key.facts
    told = story(room, tank, one.start, one.end, facts, ())
    setup = _as_read(room, told, one.end, facts)
    told = msgspec.structs.replace(told, setup=setup)
    with renamed(_columns(told, now, facts)):
        evidence = Evidence(facts, draws, told.start, setup.levels)
        events = (*told.events, *evidence.events(told.readings))
        hours = (one.end - one.start) / timedelta(hours=1) + 1.0
        simulate(setup, told.acts, facts, start=told.start, hours=hours, draws=draws, events=events)
    log = np.asarray(_kept(evidence.log, draws, facts))
    log.flags.writeable = False
    return log


def _as_read(room: Room, told: Story, until: datetime, facts: Facts) -> Setup:
    """The tank with its warmth, pH and hardness as they were last read then, not as they are now."""
    read = (r for e in room.readings(told.tank.id) if e.at <= until for r in e.values)
    then = {r.quantity: r for r in read}  # the last one of each
    known: dict[str, Estimate | None] = {"temp_c": told.tank.temp_c, "ph": None, "alkalinity": None}
    if "temp_c" in then:
        known["temp_c"] = estimate_of(then["temp_c"])
    if "ph" in then:
        known["ph"] = estimate_of(then["ph"])
    if "kh" in then:
        known["alkalinity"] = alkalinity(then["kh"], facts)
    return msgspec.structs.replace(told.setup, **known)


def _columns(told: Story, now: _Now, facts: Facts) -> Mapping[str, tuple[str, bool]]:
    """Which column each number takes then, so that it teaches about the same number now.

    A substance takes that which it has in the run of now; what has no place there is drawn apart.
    """
    apart = [*OF_THEN, *(OF_ITS_AGE if carried_fact(told.setup, facts) != now.filter else ())]
    apart += OF_THE_FISH if _grams(told.setup) != now.grams else ()
    found = {name: (name, True) for name in apart}
    return found | dict(_of_substances(_order(told, facts), now.substances))


def _of_substances(then: tuple[str, ...], now: tuple[str, ...]) -> Iterator[tuple[str, tuple[str, bool]]]:
    whole = len(then) <= SLOTS and len(now) <= SLOTS  # those beyond share the columns of the first
    for name in columns():
        if not name.startswith("substance_"):
            continue
        _, slot, part = name.split("_", 2)
        at = int(slot) - 1
        if whole and at < len(then) and then[at] in now:
            yield name, (f"substance_{now.index(then[at]) + 1}_{part}", False)
        else:
            yield name, (name, True)
