"""How one medicine can be given: choices along a few axes, and the shape that a point of them makes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import msgspec
import numpy as np

from tankward.model.rows import Array
from tankward.treat.course.salt import WASHED
from tankward.treat.course.shape import Changed, Given, Shape, meant

from .clock import Clock

DAY_H = 24.0
LEAST_BACK = 0.05  # of a full dose; less is not put back [our own choice]
WASHES = 3  # halves changed a day apart, so that an eighth is left of a round that has stood [our own choice]
FULL_FROM = 0.97  # what is so nearly a full dose is one


class Extra(NamedTuple):
    """Changes between the doses: every so many days this share."""

    every_d: float = 0.0
    share: float = 0.0


class Pattern(msgspec.Struct, frozen=True, kw_only=True):
    """One way of giving it. `keeps`: what goes back after a change counts on the rest having lasted."""

    rounds: int
    every_h: float
    stand_h: float
    change: float  # before each further round
    keeps: bool
    extra: Extra
    siphon: str  # "ends", "changes", "daily"
    feed: float
    warm_c: float | None


class Fixed(msgspec.Struct, frozen=True, kw_only=True):
    """What holds for every pattern of one medicine here."""

    first: float  # share changed before the first dose
    last: float  # share changed at the end
    salt: bool = False
    salt_out: float = 0.25
    steps_up: int = 1  # a full dose is raised by so many, a day apart
    apart: bool = False  # in a bare tub
    out_h: float | None = None  # a round stands so long and is changed out; None: from first to last


class Event(NamedTuple):
    """What is done at one hour: a share changed, then a dose (True: one of the rounds)."""

    at_h: float
    share: float
    dose: int  # 0 none, 1 puts back, 2 a round
    part: float = 1.0  # of a full dose that the round is given in


def events(pattern: Pattern, fixed: Fixed, clock: Clock) -> tuple[list[Event], float] | None:
    """What is done when, and the hour of the end; None where nobody is there for a step."""
    rounds = [clock.fit(n * pattern.every_h) for n in range(pattern.rounds)]
    if any(h is None for h in rounds):
        return None
    hours = [h for h in rounds if h is not None]
    end = clock.fit(hours[-1] + pattern.stand_h)
    if end is None or len(set(hours)) < len(hours) or end <= hours[-1]:
        return None
    found = [Event(hours[0], fixed.first, 2, 1.0 / fixed.steps_up)]
    for n in range(1, fixed.steps_up):
        up = clock.fit(hours[0] + DAY_H * n)
        if up is None:
            return None
        found.append(Event(up, 0.0, 2, 1.0 / fixed.steps_up))
    found += [Event(h, pattern.change, 2) for h in hours[1:]]
    if fixed.out_h is not None:
        out = [_out(h + fixed.out_h, clock) for h in hours[:-1]]
        if not all(out):
            return None
        found += [Event(h, fixed.last, 0) for washes in out for h in washes]
    between = _between(pattern, found, end, clock, back=fixed.out_h is None)
    if between is None:
        return None
    return sorted([*found, *between]), end


def _out(at_h: float, clock: Clock) -> list[float]:
    """Hours at which a round that has stood is changed out; none where nobody is there when it begins."""
    first = clock.fit(at_h)
    later = [clock.fit(at_h + DAY_H * n) for n in range(1, WASHES)]
    return [] if first is None else sorted({first, *(h for h in later if h is not None)})


def _between(
    pattern: Pattern, found: Sequence[Event], end: float, clock: Clock, *, back: bool
) -> list[Event] | None:
    """Changes between the rounds, none on the day of one nor just before the end, which changes anyway; None
    where nobody is there. `back`: what they took is put back.
    """
    if not pattern.extra.every_d:
        return []
    made: list[Event] = []
    every = DAY_H * pattern.extra.every_d
    at = max(e.at_h for e in found if e.part < 1.0 or e is found[0]) + every
    while at + every <= end:
        hour = clock.fit(at)
        at += every
        if hour is None:
            return None
        if all(abs(hour - e.at_h) >= DAY_H / 2 for e in (*found, *made)):
            made.append(Event(hour, pattern.extra.share, 1 if back else 0))
    return made


def rounds_of(rows: Sequence[Event], factors: Sequence[float]) -> int:
    """How often it is given, as `Shape.rounds` counts it: what a change took and is put back is no round."""
    given, stays = [], 1.0
    for event, factor in zip(rows, factors, strict=True):
        stays *= 1.0 - event.share
        if event.dose and factor >= LEAST_BACK:
            full = factor >= FULL_FROM and event.part == 1.0
            given.append((event.at_h, stays, 1.0 if full else factor))
            stays = 1.0
    return meant(given).count("round")


class Sheet(NamedTuple):
    """Events of many drafts side by side: drafts × events, padded by events that do nothing at the end."""

    hour: Array
    share: Array
    dose: Array
    part: Array
    end: Array  # drafts


def sheet(found: Sequence[tuple[list[Event], float]]) -> Sheet:
    """Drafts into arrays."""
    most = max((len(events) for events, _ in found), default=0)
    filled = np.zeros((len(found), most, 4))
    for n, (rows, end) in enumerate(found):
        filled[n, : len(rows)] = rows
        filled[n, len(rows) :, 0] = end
    ends = np.array([end for _, end in found])
    hour, share, dose, part = (filled[:, :, k] for k in range(4))
    return Sheet(hour, share, dose, part, ends)


def shaped(
    pattern: Pattern, fixed: Fixed, rows: Sequence[Event], end: float, factors: Sequence[float], clock: Clock
) -> Shape:
    """The shape of a draft, with what is put back at each event as a share of a full dose."""
    doses = [
        Given(e.at_h, 1.0 if f >= FULL_FROM and e.part == 1.0 else round(f, 3))
        for e, f in zip(rows, factors, strict=True)
        if e.dose and f >= LEAST_BACK
    ]
    changes = [Changed(e.at_h, e.share) for e in rows if e.share > 0]
    changes += _ending(fixed, end, clock)
    return Shape(
        doses=tuple(doses),
        changes=tuple(sorted(changes)),
        siphons=_siphons(pattern, fixed, changes, end, clock),
        feed=pattern.feed,
        warm_c=pattern.warm_c,
        end_h=end,
    )


def _ending(fixed: Fixed, end: float, clock: Clock) -> list[Changed]:
    """Half goes out at the end; salt a part each day. In a tub the fish leave it instead."""
    if fixed.apart:
        return []
    if not fixed.salt:
        return [Changed(end, fixed.last)]
    out = [clock.fit(end + DAY_H * n) for n in range(WASHED)]
    return [Changed(h, fixed.salt_out) for h in out if h is not None]


def _siphons(
    pattern: Pattern, fixed: Fixed, changes: Sequence[Changed], end: float, clock: Clock
) -> tuple[float, ...]:
    if fixed.apart:
        return ()
    hours = {0.0, end}
    if pattern.siphon == "changes":
        hours |= {c.at_h for c in changes}
    if pattern.siphon == "daily":
        daily = (clock.fit(DAY_H * n) for n in range(1, math.ceil(end / DAY_H)))
        hours |= {h for h in daily if h is not None and h < end}
    return tuple(sorted(hours))
