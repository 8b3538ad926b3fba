"""After a course, as the tank's page shows it: how it ended, the looks that follow, who stays."""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.desk.after import after_last
from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.rounds.watch import ClearanceWatch, open_watches
from tankward.show.words.after import (
    BACK_THEN,
    NOT_GONE,
    LookRow,
    after_words,
    look_rows,
    met_words,
    outcome_words,
    wanted,
    watch_says,
)
from tankward.show.words.supplies import cost_line


class WatchTold(msgspec.Struct, frozen=True, kw_only=True):
    """One watch of this tank: how far it is, its looks, and whether one is due now."""

    says: str
    back: bool
    then: str
    rows: list[LookRow]
    due: bool
    wanted: str


class AfterTold(msgspec.Struct, frozen=True, kw_only=True):
    """What follows from a course; `outcome` "" where this tank only met one that was ill."""

    outcome: str
    course: str
    says: str
    note: str
    cost: str
    entry: str
    watches: list[WatchTold]
    met: list[tuple[str, str]]  # what is said of a tank that met this one, and its page
    not_gone: str


def after_told(room: Room, tank: str, now: datetime, zone: str, facts: Facts) -> AfterTold | None:
    """What the page says; None where no course was closed here and nothing is watched."""
    found = after_last(room, tank, now, zone, facts)
    watched = [w for w in open_watches(room, now, zone, facts) if w.tank == tank]
    if found is None and not watched:
        return None
    told = [_watch(w, room, now, zone, facts) for w in watched]
    if found is None or found.course.closed is None:
        return AfterTold(
            outcome="", course="", says="", note="", cost="", entry="", watches=told, met=[], not_gone=""
        )
    return AfterTold(
        outcome=outcome_words(found.course.outcome),
        course=found.course.begun.name,
        says=after_words(found.course, found.days, now, zone, facts),
        note=found.course.closed.note,
        cost=cost_line(found.needs),
        entry=found.course.closed.id,
        watches=told,
        met=[(met_words(w, room, facts), f"/tanks/{w.tank}#after") for w in found.met],
        not_gone=NOT_GONE if found.hold is not None else "",
    )


def _watch(watch: ClearanceWatch, room: Room, now: datetime, zone: str, facts: Facts) -> WatchTold:
    rows = look_rows(watch, now, zone, facts)
    return WatchTold(
        says=watch_says(watch, room, now, zone, facts),
        back=watch.back is not None,
        then=BACK_THEN if watch.back is not None else "",
        rows=rows,
        due=any(r.due for r in rows) or watch.back is not None,
        wanted=wanted(watch, facts),
    )
