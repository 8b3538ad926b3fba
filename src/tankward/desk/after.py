"""After a course: how it ended, what was given, the looks that follow, who stays, what it cost."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.room.replay import Room
from tankward.room.time import day_of
from tankward.room.treated import Treated, treated
from tankward.rounds.hold import Hold, hold_of
from tankward.rounds.watch import ClearanceWatch, after_course, open_watches
from tankward.treat.supplies import Need, given

from .border import Border, Written


class After(msgspec.Struct, frozen=True, kw_only=True):
    """A course that was closed, with all that follows from it."""

    course: Treated
    days: int
    needs: tuple[Need, ...]
    watch: ClearanceWatch | None  # of the tank itself
    met: tuple[ClearanceWatch, ...]  # of those that met it
    hold: Hold | None


def after_last(room: Room, tank: str, now: datetime, zone: str, facts: Facts) -> After | None:
    """The last course of a tank where it was closed and none runs; None otherwise."""
    found = [t for t in treated(room, tank) if t.begun.at <= now]
    if not found or found[-1].closed is None or found[-1].closed.at > now:
        return None
    return after_of(room, found[-1], now, zone, facts)


def after_of(room: Room, one: Treated, now: datetime, zone: str, facts: Facts) -> After:
    """All that follows from a course that was closed.

    Parameters
    ----------
    room : Room
        As it stands, with its outcome in it.
    one : Treated
        The course.
    now : datetime
        The moment.
    zone : str
        Of the keeper's wall clock.
    facts : Facts
        The facts.
    """
    watched = tuple(after_course(room, one, now, zone, facts)) if one.closed else ()
    return After(
        course=one,
        days=days_of(one, zone),
        needs=given(room, one),
        watch=next((w for w in watched if not w.how), None),
        met=tuple(w for w in watched if w.how and w.open),
        hold=hold_of(room, one.tank, now, zone, facts),
    )


def days_of(one: Treated, zone: str) -> int:
    """Days from the first to the last on which something was done of it."""
    return (day_of(one.last_given, zone) - day_of(one.begun.at, zone)).days + 1


def watch_of(room: Room, tank: str, now: datetime, zone: str, facts: Facts) -> ClearanceWatch | None:
    """The watch of a tank that is open, its own before one for something that it met."""
    return next((w for w in open_watches(room, now, zone, facts) if w.tank == tank), None)


def looked_for(border: Border, tank: str, now: datetime) -> Written:
    """A look of the watch, when it was touched: none of its signs is there. `now`: when it is written down.

    Raises
    ------
    BadInput
        If nothing is watched there.
    """
    watch = watch_of(border.room, tank, now, border.zone, border.facts)
    if watch is None:
        raise BadInput("tank", border.room.tanks[tank].name, "is not watched any more. Look at Today again.")
    if not watch.signs:
        return border.log("look", tank, {"well": "yes"})
    return border.log("look", tank, {"not-seen": "; ".join(watch.signs)})


def texts_of_close(typed: Mapping[str, str]) -> dict[str, str]:
    """What a form says of an end, without what was left empty."""
    keys = ("outcome", "seen", "cause", "note", "when", "who")
    return {k: typed[k].strip() for k in keys if typed.get(k, "").strip()}
