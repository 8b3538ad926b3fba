"""The clearance watch: after a course its tank, and those that met it, are looked at by the organism's cycle.

Clean days count from the last dose, the last sign of it or the last newcomer, whichever came last; a sign of
it seen again asks anew what it may be. No number of clean days says that a disease is gone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta
from math import ceil

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.room.entries.acts import CourseBegun
from tankward.room.entries.base import Entry
from tankward.room.entries.ends import CourseClosed
from tankward.room.entries.looks import Look
from tankward.room.replay import Room
from tankward.room.time import day_of
from tankward.room.treated import Treated, closed
from tankward.treat.course.watching import cycle_d
from tankward.treat.remedies.carry import CATCHING
from tankward.treat.remedies.reach import organisms_of
from tankward.treat.remedies.transfers import USUAL_C

from .contact import How, Met, Traffic, met

BEFORE = timedelta(days=14)  # looks so long before a course tell what it was begun for [our own choice]
BEFORE_SEEN = timedelta(days=7)  # it was there so long before anybody saw it [our own choice]
SHORT_D = 60.0  # of a longer cycle only one is waited for [our own choice]
APART_D = 2  # looks nearer to each other than that are one [our own choice]
STILL = timedelta(days=14)  # a sign so long after its last day is still of it [our own choice]
LATE = timedelta(days=60)  # a look that is later than that is asked for no more [our own choice]
MOSTLY = 0.4  # a sign that so many of the ill show is a sign of it [our own choice]
OLDEST = timedelta(days=365)  # no watch lasts longer than that
QUARANTINE = "trade"  # the rule of quarantine whose days stand in where no cycle is known
ENDED_BADLY = ("no_change", "worse")


class WatchLook(msgspec.Struct, frozen=True, kw_only=True):
    """One look of a watch: its day, what it waits for, the look that was it ("" while it is open).

    `cycle`: 0 when the first of a new generation could show, 1 when one whole cycle is over, 2 when two are;
    -1 where no cycle is known and the usual days of a quarantine stand in.
    """

    on: date
    organism: str
    cycle: int
    done: str = ""


class Back(msgspec.Struct, frozen=True, kw_only=True):
    """A sign of it seen again."""

    at: datetime
    day: int  # of the watch, 1 on its first
    signs: tuple[str, ...]
    look: str


class ClearanceWatch(msgspec.Struct, frozen=True, kw_only=True):
    """One tank watched after a course. `of`: the tank that was treated; `how` it met that one, "" itself."""

    tank: str
    of: str
    course: str  # the entry
    name: str
    causes: tuple[str, ...]
    signs: tuple[str, ...]
    since: datetime  # clean days count from then
    looks: tuple[WatchLook, ...]
    how: How | str = ""
    met_at: datetime | None = None
    back: Back | None = None
    restarted: str = ""  # sign, newcomer: what made the clean days begin anew

    @property
    def last(self) -> date:
        """The day of the last look."""
        return max(look.on for look in self.looks)

    @property
    def one_cycle(self) -> date:
        """The day on which the longest of them is once round; where none is known, that of the last look."""
        ends = [look.on for look in self.looks if look.cycle == 1]
        return max(ends, default=self.last)

    @property
    def open(self) -> bool:
        """Whether a look is still to come, or what was seen is still to be answered."""
        return self.back is not None or any(not look.done for look in self.looks)

    def due(self, today: date) -> tuple[WatchLook, ...]:
        """Looks whose day has come and that nobody did."""
        return tuple(look for look in self.looks if look.on <= today and not look.done)

    def day(self, now: datetime, zone: str) -> int:
        """The day of the watch that it is."""
        return (day_of(now, zone) - day_of(self.since, zone)).days + 1


def open_watches(room: Room, now: datetime, zone: str, facts: Facts) -> tuple[ClearanceWatch, ...]:
    """Every watch of the room that is still open, those of treated tanks first."""
    found = [w for w in watches(room, now, zone, facts) if w.open and day_of(now, zone) <= w.last + LATE]
    return tuple(sorted(found, key=lambda w: (bool(w.how), w.last)))


def watches(room: Room, now: datetime, zone: str, facts: Facts) -> Iterator[ClearanceWatch]:
    """Every watch that a closed course has begun, open or over."""
    found = [t for t in closed(room) if t.closed and now - OLDEST <= t.closed.at <= now]
    traffic = Traffic.of(room) if found else None
    for one in found:
        yield from after_course(room, one, now, zone, facts, traffic)


def after_course(
    room: Room,
    one: Treated,
    now: datetime,
    zone: str,
    facts: Facts,
    traffic: Traffic | None = None,
) -> Iterator[ClearanceWatch]:
    """The watch of the tank itself, where the course did not end badly, and of each tank that met it.

    Parameters
    ----------
    room : Room
        As it stands.
    one : Treated
        A course that was closed.
    now : datetime
        The moment.
    zone : str
        Of the keeper's wall clock, by which a day ends.
    facts : Facts
        The life of each organism, the signs of each cause.
    traffic : Traffic, optional
        What went from tank to tank, where it was gathered already.
    """
    traffic = traffic or Traffic.of(room)
    causes = believed(one, facts)
    if causes is None:
        return  # nothing that a fish catches
    assert one.closed is not None
    signs = signs_of(room, one, facts)
    if one.outcome not in ENDED_BADLY:
        began = _clean_from(room, one, signs)
        yield from _watched(room, one, causes, signs, began, None, now, zone, facts, traffic)
    first = min((k.at for k in _looks_before(room, one) if k.seen), default=one.begun.at)
    for contact in met(
        room, one.tank, first - BEFORE_SEEN, min(now, _still_catching(one, room, causes, facts)), traffic
    ):
        yield from _watched(room, one, causes, signs, contact.at, contact, now, zone, facts, traffic)


def looks_ahead(room: Room, one: Treated, now: datetime, zone: str, facts: Facts) -> tuple[WatchLook, ...]:
    """The looks that would follow if a course were closed now as cleared."""
    end = CourseClosed(id="", at=now, tank=one.tank, course=one.begun.id, outcome="cleared")
    told = msgspec.structs.replace(one, closed=end)
    found = next((w for w in after_course(room, told, now, zone, facts) if not w.how), None)
    return found.looks if found else ()


def believed(one: Treated, facts: Facts) -> tuple[str, ...] | None:
    """The catching causes that a course is taken to have been against: what the keeper believes and what it
    was begun against. () not known; None where a cause is known and no fish catches it.
    """
    told = [one.cause, one.begun.cause]
    known = [c for c in dict.fromkeys(told) if c in facts.causes]
    if not known:
        return ()
    return tuple(c for c in known if facts.causes[c].group in CATCHING) or None


def signs_of(room: Room, one: Treated, facts: Facts) -> tuple[str, ...]:
    """Signs by which it would be known again: those seen that the cause mostly shows, else all that were
    seen; where nobody wrote any down, those that the cause mostly shows.
    """
    told = [s for k in _looks_before(room, one) for s in k.seen] + list(one.closed.seen if one.closed else ())
    seen = tuple(dict.fromkeys(told))
    cause = facts.causes.get(one.cause)
    mostly = [s.id for s in cause.sign if (s.low + s.high) / 2 >= MOSTLY] if cause else []
    return tuple(s for s in seen if s in mostly) or seen or tuple(mostly)


def _looks_before(room: Room, one: Treated) -> list[Look]:
    """Looks of the two weeks before a course and while it ran."""
    end = one.closed.at if one.closed else one.over_at
    return [k for k in room.looks(one.tank) if one.begun.at - BEFORE <= k.at and (end is None or k.at <= end)]


def _clean_from(room: Room, one: Treated, signs: tuple[str, ...]) -> datetime:
    """From when days count as clean: the last dose, the last sign of it up to the end, or the end itself
    where signs were told with it.
    """
    assert one.closed is not None
    seen = [k.at for k in _looks_before(room, one) if set(k.seen) & set(signs)]
    still = [one.closed.at] if one.closed.seen else []
    return max([one.last_given, *seen, *still])


def last_sign(room: Room, tank: str, signs: tuple[str, ...], since: datetime, now: datetime) -> datetime:
    """When a sign of it was last seen there, or told at the end of a course; else `since`."""
    seen = [k.at for k in room.looks(tank) if since <= k.at <= now and set(k.seen) & set(signs)]
    told = [
        e.at for e in room.of_tank(tank) if isinstance(e, CourseClosed) and e.seen and since <= e.at <= now
    ]
    return max([since, *seen, *told])


def _still_catching(one: Treated, room: Room, causes: tuple[str, ...], facts: Facts) -> datetime:
    """Until when a contact counts: one cycle after the last dose, or the usual days of a quarantine."""
    days = max(d for _, cycle, d in days_of(causes, warmth(room, one.tank), facts) if cycle != 2)
    return one.last_given + timedelta(days=days)


def _watched(
    room: Room,
    one: Treated,
    causes: tuple[str, ...],
    signs: tuple[str, ...],
    began: datetime,
    contact: Met | None,
    now: datetime,
    zone: str,
    facts: Facts,
    traffic: Traffic,
) -> Iterator[ClearanceWatch]:
    tank = contact.tank if contact else one.tank
    assert one.closed is not None
    ended = contact.at if contact else one.closed.at
    if tank not in room.tanks or not room.stock_of(tank) or _treated_again(room, tank, ended, now):
        return
    days = days_of(causes, warmth(room, tank), facts, once=contact is not None)
    lasts = timedelta(days=max(d for _, _, d in days))
    came = traffic.came.get(tank, ())
    followed = _followed((*room.looks(tank), *came), signs, began, lasts, now, zone)
    looks = dated(days, followed.since, zone)
    yield ClearanceWatch(
        tank=tank, of=one.tank, course=one.begun.id, name=one.begun.name, causes=causes, signs=signs,
        since=followed.since, looks=tuple(told_by(looks, followed.clean, zone)),
        how=contact.how if contact else "", met_at=contact.at if contact else None, back=followed.back,
        restarted=followed.restarted,
    )  # fmt: skip


def _treated_again(room: Room, tank: str, since: datetime, now: datetime) -> bool:
    """Whether another course began there since: what it clears is watched after that one."""
    return any(isinstance(e, CourseBegun) and since < e.at <= now for e in room.of_tank(tank))


def warmth(room: Room, tank: str) -> Estimate | None:
    """How warm it is: as last read, else as it was described."""
    read = [r.value for e in room.readings(tank) for r in e.values if r.quantity == "temp_c"]
    return Estimate.exact(read[-1]) if read else room.tanks[tank].temp_c


class _Followed(msgspec.Struct, frozen=True, kw_only=True):
    since: datetime
    back: Back | None
    restarted: str
    clean: tuple[Look, ...]  # looks since, that say of a sign of it that it is not there


def _followed(
    entries: Iterable[Entry],
    signs: tuple[str, ...],
    began: datetime,
    lasts: timedelta,
    now: datetime,
    zone: str,
) -> _Followed:
    """What happened there since: a sign of it or a newcomer makes the clean days begin anew, while they last.

    A sign that comes longer after them is another case. `entries`: looks, and what newcomers came with: any
    newcomer starts the days again for the whole tank (VKQ, safety rule 27).
    """
    since, back, restarted = began, None, ""
    clean: list[Look] = []
    for entry in sorted(entries, key=lambda e: (e.at, e.id)):
        if not began < entry.at <= now:
            continue
        over = since + lasts
        if not isinstance(entry, Look):
            if entry.at > over:
                continue
            since, restarted, clean = max(since, entry.at), "newcomer", []
            continue
        seen = tuple(s for s in entry.seen if s in signs)
        if seen and entry.at <= over + STILL:
            day = (day_of(entry.at, zone) - day_of(since, zone)).days + 1
            back = back or Back(at=entry.at, day=day, signs=seen, look=entry.id)
            since, restarted, clean = entry.at, "sign", []
        elif tells(entry, signs):
            back = None
            clean.append(entry)
    return _Followed(since=since, back=back, restarted=restarted, clean=tuple(clean))


def tells(look: Look, signs: tuple[str, ...]) -> bool:
    """Whether a look says that a sign of it was looked for and is not there; "all well" does not."""
    return bool(set(look.absent) & set(signs)) and not set(look.seen) & set(signs)


def days_of(
    causes: tuple[str, ...], temp_c: Estimate | None, facts: Facts, *, once: bool = False
) -> list[tuple[str, int, float]]:
    """(organism, cycle, days after the last sign or dose) of each look. [d]

    `once`: one cycle alone, as for a tank that only met it.
    """
    t = temp_c or Estimate.exact(USUAL_C)
    found: list[tuple[str, int, float]] = []
    cycles = [(o.id, cycle_d(o, t)) for o in organisms_of(causes, facts)]
    for organism, span in cycles:
        if span is None:
            continue
        low, high = sorted(span)
        found += [(organism, 0, low), (organism, 1, high)]
        if not once and high <= SHORT_D:
            found.append((organism, 2, 2.0 * high))
    if not cycles or any(span is None for _, span in cycles):
        whole = quarantine_d(facts)
        found += [("", -1, whole / 2.0), ("", -1, whole)]
    return found


def quarantine_d(facts: Facts) -> float:
    """The usual days apart, where no cycle is known. [d]"""
    rule = next(r for r in facts.hygiene.quarantine if r.id == QUARANTINE)
    assert rule.high is not None
    return rule.high


def dated(days: list[tuple[str, int, float]], since: datetime, zone: str) -> list[WatchLook]:
    """The looks by their days; of two that fall together the one that ends more stays."""
    start = day_of(since, zone)
    rows = [WatchLook(on=start + timedelta(days=ceil(d)), organism=o, cycle=c) for o, c, d in days]
    kept: list[WatchLook] = []
    for row in sorted(rows, key=lambda r: (-abs(r.cycle), r.on)):
        if all(abs((row.on - k.on).days) >= APART_D for k in kept):
            kept.append(row)
    return sorted(kept, key=lambda r: r.on)


def told_by(looks: Iterable[WatchLook], clean: tuple[Look, ...], zone: str) -> Iterator[WatchLook]:
    """A look on its day or after it is that look."""
    for row in looks:
        done = next((k.id for k in clean if day_of(k.at, zone) >= row.on), "")
        yield msgspec.structs.replace(row, done=done)
