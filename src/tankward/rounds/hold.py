"""Who stays where they are, and until when: survivors carry (safety rule 26).

Nothing here ever says that fish are free of disease; an end of a hold is the end of what a rule asks.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Literal

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.room.time import day_of, local
from tankward.room.treated import Treated, treated
from tankward.treat.remedies.carry import carried

from .newcomers import newcomers_in
from .states import SEEN_FRESH
from .watch import (
    ENDED_BADLY,
    ClearanceWatch,
    believed,
    last_sign,
    open_watches,
    quarantine_d,
    signs_of,
    warmth,
)

Why = Literal["course", "not-over", "unknown", "for-life", "carried", "met", "signs", "newcomers"]
# A cause that nobody found holds so long after the last sign; the logbook says nothing of older things
# [our own choice].
UNKNOWN = timedelta(days=183)
HARDEST: tuple[Why, ...] = (
    "signs",
    "unknown",
    "not-over",
    "course",
    "for-life",
    "carried",
    "met",
    "newcomers",
)


class Hold(msgspec.Struct, frozen=True, kw_only=True):
    """Why nothing of a tank is sold, given or mixed. `until` None: no day can be named.

    course: one runs. not-over: one ended and did not help. unknown: the cause is not known, so nothing leaves
    the room. signs: signs were seen and nobody knows yet what it is. for-life: survivors may carry it as long
    as they live, or nobody knows how long. carried: until then. met: it met a tank that was ill. newcomers:
    their days apart are not over.
    """

    tank: str
    why: Why
    causes: tuple[str, ...] = ()
    since: datetime | None = None
    until: datetime | None = None
    of: str = ""  # the tank that it met
    how: str = ""  # by what
    course: str = ""

    @property
    def whole_room(self) -> bool:
        """Whether nothing leaves the room: nobody knows what it is."""
        return self.why in ("unknown", "signs", "not-over")


def hold_of(
    room: Room,
    tank: str,
    now: datetime,
    zone: str,
    facts: Facts,
    watched: Iterable[ClearanceWatch] | None = None,
) -> Hold | None:
    """Why nothing leaves a tank now; None where no rule holds it.

    Parameters
    ----------
    room : Room
        As it stands.
    tank : str
        Its id.
    now : datetime
        The moment.
    zone : str
        Of the keeper's wall clock.
    facts : Facts
        How long survivors of each illness may carry it.
    watched : iterable of ClearanceWatch, optional
        The open watches, where they are known already.
    """
    if not room.stock_of(tank):
        return None
    found = [*_of_courses(room, tank, now, facts), *_of_signs(room, tank, now)]
    open_now = open_watches(room, now, zone, facts) if watched is None else watched
    found += [
        h for w in open_now if w.tank == tank and w.how and (h := _of_contact(w, room, facts)) is not None
    ]
    found += _of_newcomers(room, tank, now, zone, facts)
    lasting = [h for h in found if h.until is None or h.until > now]
    return min(lasting, key=lambda h: (HARDEST.index(h.why), -_ends(h)), default=None)


def _ends(hold: Hold) -> float:
    return hold.until.timestamp() if hold.until else 0.0


def holds(room: Room, now: datetime, zone: str, facts: Facts) -> tuple[Hold, ...]:
    """Every tank that is held, as they stand."""
    watched = open_watches(room, now, zone, facts)
    found = (hold_of(room, tank, now, zone, facts, watched) for tank in room.tanks)
    return tuple(h for h in found if h is not None)


def _of_courses(room: Room, tank: str, now: datetime, facts: Facts) -> list[Hold]:
    """By the courses that it was given; each asks for itself."""
    found = (_of_course(room, one, now, facts) for one in treated(room, tank) if one.begun.at <= now)
    return [h for h in found if h is not None]


def _of_course(room: Room, one: Treated, now: datetime, facts: Facts) -> Hold | None:
    if one.runs:
        return Hold(tank=one.tank, why="course", course=one.begun.name, since=one.begun.at)
    causes = believed(one, facts)
    if causes is None:
        return None
    since = max(one.last_given, last_sign(room, one.tank, signs_of(room, one, facts), one.begun.at, now))
    last = treated(room, one.tank)[-1].begun.id == one.begun.id
    if one.outcome in ENDED_BADLY and last:
        return Hold(tank=one.tank, why="not-over", causes=causes, course=one.begun.name, since=since)
    if not causes:
        return Hold(tank=one.tank, why="unknown", since=since, until=since + UNKNOWN, course=one.begun.name)
    return _carrying(room, one.tank, causes, since, facts, one.begun.name)


def _carrying(
    room: Room, tank: str, causes: tuple[str, ...], since: datetime, facts: Facts, course: str
) -> Hold:
    rows = carried(causes, warmth(room, tank), facts)
    if any(r.days is None for r in rows):
        return Hold(tank=tank, why="for-life", causes=causes, since=since, course=course)
    days = max(r.days for r in rows if r.days is not None)
    until = since + timedelta(days=days)
    return Hold(tank=tank, why="carried", causes=causes, since=since, until=until, course=course)


def _of_signs(room: Room, tank: str, now: datetime) -> list[Hold]:
    """Signs of the last days, and no course against them; those of before its end are the course's own."""
    looks = [k for k in room.looks(tank) if now - SEEN_FRESH <= k.at <= now]
    if not looks or not looks[-1].seen or tank in room.courses:
        return []
    ends = [one.over_at for one in treated(room, tank) if one.over_at is not None and one.over_at <= now]
    if ends and looks[-1].at <= max(ends):
        return []
    return [Hold(tank=tank, why="signs", since=looks[-1].at)]


def _of_newcomers(room: Room, tank: str, now: datetime, zone: str, facts: Facts) -> list[Hold]:
    """Newcomers stay where they are, and those that live with them, until their days are over (rule 27)."""
    apart = newcomers_in(room, tank, now, zone, facts)
    if apart is None or not apart.runs(day_of(now, zone)):
        return []
    until = local(apart.since, zone).replace(hour=0, minute=0, second=0, microsecond=0)
    until += apart.over - day_of(apart.since, zone)
    return [Hold(tank=tank, why="newcomers", since=apart.since, until=until)]


def _of_contact(watch: ClearanceWatch, room: Room, facts: Facts) -> Hold:
    """Of a tank that met one that was ill: a cycle by its own warmth; moved fish count as survivors."""
    if watch.how == "moved" and watch.causes:
        hold = _carrying(room, watch.tank, watch.causes, watch.since, facts, watch.name)
        return msgspec.structs.replace(hold, of=watch.of, how=watch.how)
    if not watch.causes:
        return Hold(
            tank=watch.tank, why="unknown", since=watch.since, of=watch.of, how=watch.how, course=watch.name
        )
    days = max(
        (d.days for d in carried(watch.causes, warmth(room, watch.tank), facts) if d.days), default=None
    )
    until = watch.since + timedelta(days=quarantine_d(facts) if days is None else days)
    return Hold(
        tank=watch.tank, why="met", causes=watch.causes, since=watch.since, until=until, of=watch.of,
        how=watch.how, course=watch.name,
    )  # fmt: skip
