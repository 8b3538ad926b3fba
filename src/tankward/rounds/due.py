"""What else is due: the dead that may still lie in a tank, a course to be closed, looks after one, packets
that run short or go past their date, newcomers' days over.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta
from typing import Literal

import msgspec

from tankward.judge.progress import decide_on
from tankward.knowledge.known import Facts
from tankward.room.best_before import last_good
from tankward.room.replay import Room
from tankward.room.time import day_of
from tankward.room.treated import Treated, unclosed
from tankward.treat.supplies import Need, short

from .newcomers import newcomers
from .watch import ClearanceWatch

SOON = timedelta(days=7)  # a packet is named so long before its date [our own choice]
AFTER = timedelta(days=7)  # and the end of a quarantine, or a look of it, so long after it [our own choice]
STOPPED = timedelta(days=14)  # how a course that was stopped ended is asked so long [our own choice]
Kind = Literal[
    "body", "back", "close", "watch", "short", "packet-over", "packet-soon", "quarantine",
    "newcomer-look",
]  # fmt: skip


class Due(msgspec.Struct, frozen=True, kw_only=True):
    """One thing that is due. `on` is its day; `source` and `status` are of the rule behind it.

    close: a course is over and nobody has told how it ended. watch: a look after a course is due. back: a
    sign of it was seen again. short: a packet is not enough for the rest of a course.
    newcomer-look: droppings or vents of newcomers (`what`).
    """

    kind: Kind
    tank: str = ""
    what: str = ""  # id of the group or of the packet
    number: float = 0
    on: date | None = None
    source: str = "none"
    status: str = ""
    watch: ClearanceWatch | None = None
    course: Treated | None = None
    need: Need | None = None


def due(
    room: Room, now: datetime, zone: str, facts: Facts, watched: Iterable[ClearanceWatch] = ()
) -> list[Due]:
    """All of it, the dead first; `watched`: the open watches after courses."""
    return [
        *_bodies(room), *_watched(watched, now, zone), *to_close(room, now, zone), *_short(room),
        *_newcomers(room, now, zone, facts), *_packets(room, now, zone),
    ]  # fmt: skip


def _watched(watched: Iterable[ClearanceWatch], now: datetime, zone: str) -> list[Due]:
    """What is back first, then the looks whose day has come; of one tank the last of them stands for all."""
    watched = tuple(watched)
    back = [Due(kind="back", tank=w.tank, what=w.of, number=w.back.day, watch=w) for w in watched if w.back]
    looks = []
    for one in watched:
        late = one.due(day_of(now, zone))
        if late and one.back is None:
            day = one.day(now, zone)
            looks.append(Due(kind="watch", tank=one.tank, what=one.of, number=day, on=late[-1].on, watch=one))
    return [*back, *looks]


def to_close(room: Room, now: datetime, zone: str) -> Iterator[Due]:
    """Courses that are over, and nobody has told how they ended."""
    today = day_of(now, zone)
    for tank in room.tanks:
        one = unclosed(room, tank)
        if one is None or one.begun.at > now:
            continue
        ends = decide_on(one.begun.at, one.planned_end) if one.runs else one.stopped_at or one.over_at
        assert ends is not None
        asked = one.runs or now - ends <= STOPPED
        if asked and day_of(ends, zone) <= today:
            yield Due(kind="close", tank=tank, what=one.begun.id, on=day_of(ends, zone), course=one)


def _bodies(room: Room) -> Iterator[Due]:
    for stock, number in room.bodies.items():
        group = room.stock.get(stock)
        if number > 0 and group is not None and group.tank in room.tanks:
            yield Due(kind="body", tank=group.tank, what=stock, number=number)


def _short(room: Room) -> Iterator[Due]:
    for tank, need in short(room):
        yield Due(kind="short", tank=tank, what=need.supply, number=need.short, need=need)


def _packets(room: Room, now: datetime, zone: str) -> Iterator[Due]:
    today = day_of(now, zone)
    for supply in room.shelf.values():
        until = last_good(supply.expiry) if supply.expiry and not supply.gone else None
        if until is not None and until < today + SOON:
            yield Due(kind="packet-over" if until < today else "packet-soon", what=supply.id, on=until)


def _newcomers(room: Room, now: datetime, zone: str, facts: Facts) -> Iterator[Due]:
    """Looks whose day has come, the last of a tank for all; and days that are over, a week long."""
    today = day_of(now, zone)
    for one in newcomers(room, now, zone, facts):
        late = [look for look in one.due(today) if look.on >= today - AFTER]
        if late and (one.open_until is None or today <= one.open_until):
            last = late[-1]
            yield Due(
                kind="newcomer-look", tank=one.tank, what=last.what, number=last.day, on=last.on,
                status="common-practice",
            )  # fmt: skip
        if one.over <= today < one.over + AFTER:
            for group in one.stock:
                yield Due(
                    kind="quarantine", tank=one.tank, what=group, number=one.days, on=one.over,
                    source=one.source, status=one.status,
                )  # fmt: skip
