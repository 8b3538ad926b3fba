"""From a case to the sheet that goes to the veterinarian."""

from __future__ import annotations

from datetime import datetime

from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.show.words import case as words

from .records import CasePart, CaseSheet, Foot, Pair


def case_sheet(
    given: words.ToTell, room: Room, facts: Facts, *, now: datetime, zone: str, foot: Foot
) -> CaseSheet:
    """The sheet, every sentence said."""
    head, lines = words.visit(given, facts)
    return CaseSheet(
        title=f"{given.tank.name}: case for a veterinarian",
        foot=foot,
        finding=words.finding(given, facts),
        why=words.FOR_WHOM,
        parts=tuple(_part(p) for p in words.parts(given, room, facts, now, zone)),
        visit_heading=head,
        visit=tuple(Pair(what=what, says=says) for what, says in lines),
    )


def _part(part: words.Part) -> CasePart:
    return CasePart(
        heading=part.heading,
        rows=tuple(Pair(what=what, says=says) for what, says in part.rows),
        heads=part.heads,
        table=part.table,
        note=part.note,
    )
