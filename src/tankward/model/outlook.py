"""What is suspected in a tank, followed through the forecast of its water: where it sits, when it is gone."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

import msgspec
import numpy as np

from tankward.knowledge.known import Facts
from tankward.room.replay import Room

from . import bands
from .clearance import Holds, gone_by
from .follow import Followed, herd_of
from .from_room import Story
from .learned import Learned, learned
from .lives.tables import HOSTED, Herd
from .organisms import fish_number, life_of
from .outbreak import Course
from .record import Record
from .result import Counted, GoneBy, Outlook, Series, Taught
from .rows import Array
from .simulate import minutes
from .suspect import Suspect, seen_of

DRAWS = 128  # the first of the forecast's: what is known of organisms is too little for more
DAYS = (3, 7, 14, 21, 28)
LEAST_FISH = 0.05  # of a fish: below that none is left to carry anything
PLACES = {
    "on_host": "on fish",
    "in_host": "in fish",
    "water": "water",
    "surface": "surfaces",
    "carrier": "carriers",
}


class Asked(msgspec.Struct, frozen=True, kw_only=True):
    """A tank whose water has been forecast.

    `told`: what was done and is planned; `record`: its water over the same span; `weights` of the record's
    draws; `now`: from here on it is forecast.
    """

    room: Room
    told: Story
    record: Record
    weights: Array
    now: datetime
    facts: Facts


def outlooks(asked: Asked, suspects: Sequence[Suspect]) -> tuple[Outlook, ...]:
    """Each suspect as if it were the one, in their order; without one, or without fish, nothing is done.

    Notes
    -----
    Runs the first 128 draws of the record.
    """
    living = asked.told.setup.living
    no_fish = living is not None and living.fish is None and not asked.told.unweighed
    if not suspects or no_fish:
        return ()
    draws = min(DRAWS, asked.weights.size)
    weights = asked.weights[:draws] / asked.weights[:draws].sum()
    asked = msgspec.structs.replace(asked, record=narrowed(asked.record, draws), weights=weights)
    herd = herd_of(asked.told, asked.facts, draws)
    return tuple(_outlook(asked, one, herd) for one in suspects)


def narrowed(record: Record, draws: int) -> Record:
    """The first draws of a record."""
    return msgspec.structs.replace(
        record,
        arrays={name: levels[:, :draws] for name, levels in record.arrays.items()},
        weights=record.weights[:draws],
        left=None if record.left is None else record.left[:, :draws],
        ph=record.ph[:draws],
    )


def _outlook(asked: Asked, one: Suspect, herd: Herd) -> Outlook:
    facts, told = asked.facts, asked.told
    life = life_of(facts, one.organism, herd, asked.weights.size)
    seen = seen_of(asked.room, told.tank.id, one, asked.now, told.start, facts)
    lesson = learned(life, told, asked.record, asked.weights, seen, asked.now, facts)
    found, weights = lesson.found, lesson.weights
    chances, before, holds = _chances(lesson, asked)
    return Outlook(
        organism=one.organism,
        cause=one.cause,
        likely=one.chance,
        since_h=found.course.begin / 60.0,
        counted=seen.counted,
        series=_series(found, asked.record, weights),
        chances=() if found.unknown else chances,
        holds=holds,
        withheld=found.unknown,
        silent=found.silent,
        acts=tuple(dict.fromkeys(r.substance for r in (*found.course.reach, *found.course.feed))),
        looks=_looks(lesson, told),
        weights=weights,
        taught=_taught(lesson, () if found.unknown else before),
    )


def _taught(lesson: Learned, before: tuple[GoneBy, ...]) -> Taught | None:
    """What the looks changed; None where none told anything."""
    if not lesson.explained:
        return None
    usual = bands.band(lesson.growth, lesson.plain)
    return Taught(
        growth_before=usual,
        growth=bands.band(lesson.growth, lesson.weights),
        slower=float(lesson.weights[lesson.growth < usual.value].sum()),
        gone_before=before,
        draws=lesson.weights.size,
        effective_draws=lesson.effective,
        power=lesson.power,
        fits=lesson.fits,
        explained=lesson.explained,
    )


def _looks(lesson: Learned, told: Story) -> tuple[Counted, ...]:
    """What was counted, as so many on one fish, or as a share of the fish that are ill."""
    rows = []
    for look, on_one in lesson.read():
        low, value, high = bands.centiles(on_one, lesson.plain, (0.05, 0.5, 0.95))
        hours = minutes(look.at, told.start) / 60.0
        rows.append(Counted(at_h=hours, low=float(low), value=float(value), high=float(high)))
    return tuple(rows)


def _chances(lesson: Learned, asked: Asked) -> tuple[tuple[GoneBy, ...], tuple[GoneBy, ...], Holds]:
    """The chances by day, what they would be without the looks, and for what they hold."""
    found = lesson.found
    course, told = found.course, asked.told
    here = max(minutes(asked.now, told.start), course.begin)
    left = (course.end - here) / 1440.0
    days = [d for d in DAYS if d < left - 0.5]
    ends = [here + round(d * 1440) for d in days] + [course.end]
    gone = gone_by(from_now(found, here), ends)

    def rows(weights: Array) -> tuple[GoneBy, ...]:
        each = zip(gone.minutes, gone.chance, strict=True)
        return tuple(_gone(told.start, minute, here, chance, weights) for minute, chance in each)

    return rows(lesson.weights), rows(lesson.plain), gone.holds


def from_now(found: Followed, here: int) -> Course:
    """What is still to come of it from a minute on."""
    course = found.course
    at = max(n for n, m in enumerate(found.passed.minutes) if m <= here)
    minute = found.passed.minutes[at]
    return msgspec.structs.replace(
        course, begin=minute, start=found.passed.rows[at], infected_d=(minute - course.begin) / 1440.0
    )


def _gone(start: datetime, minute: int, here: int, chance: Array, weights: Array) -> GoneBy:
    low, high = bands.centiles(chance, weights, (0.05, 0.95))
    value = float((chance * weights).sum() / weights.sum())
    return GoneBy(
        by=start + timedelta(minutes=minute),
        days=(minute - here) / 1440.0,
        low=min(float(low), value),
        value=value,
        high=max(float(high), value),
    )


def _series(found: Followed, record: Record, weights: Array) -> tuple[Series, ...]:
    """A line for each place in which it sits, and one for the fish that are lost."""
    life, rows = found.course.life, found.passed.rows
    alive = fish_number(life, rows.swapaxes(0, 1))
    free = life.organism.host == "none"
    litres = life.herd.volume_l * left_at(record, found.passed.minutes)
    lines: list[Series] = []
    for place, where in PLACES.items():
        here = [r for r, one in enumerate(life.gathered.rows) if one.place == place]
        if not here:
            continue
        count = rows[:, here].sum(axis=1)
        if place in HOSTED:
            values, unit = count / np.maximum(alive, 1e-9), "1" if not life.table.harms else "1/fish"
            values = np.where(alive > LEAST_FISH, values, 0.0)
        else:
            values, unit = count / litres, "1/L"
        lines.append(_line(life.organism.id, where, unit, values, found, record, weights))
    if not free:
        lost = rows[:, life.table.lost]
        lines.append(_line("fish_lost", life.organism.id, "1", lost, found, record, weights))
    return tuple(lines)


def left_at(record: Record, minutes: Sequence[int]) -> Array | float:
    """Water there is after what happens at each minute, against the full tank: times × draws. [-]"""
    if record.left is None:
        return 1.0
    return np.asarray(record.left[np.searchsorted(record.minutes, minutes, side="right") - 1])


def _line(
    name: str, where: str, unit: str, values: Array, found: Followed, record: Record, weights: Array
) -> Series:
    """Bands on the record's own times; before it is followed there is no number."""
    last = {m: n for n, m in enumerate(found.passed.minutes)}
    at = np.array(list(last))
    levels = bands.centiles(values[list(last.values())], weights)
    times = np.array(record.minutes, dtype=float)
    on_times = [np.where(times < at[0], np.nan, np.interp(times, at, line)).tolist() for line in levels]
    low, q25, value, q75, high = (tuple(line) for line in on_times)
    return Series(
        name=name, where=where, unit=unit, kind="organism", low=low, q25=q25, value=value, q75=q75, high=high
    )
