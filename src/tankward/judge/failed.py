"""A course that is not helping, as evidence: what it may be then, and which tanks are ill of it too."""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.entries.acts import CourseBegun
from tankward.room.replay import Room
from tankward.room.time import hours_between

from .causes import Ranked, Ranking, causes
from .choices import FLOOR
from .evidence import Evidence, Happened
from .from_room import own_evidence, room_evidence
from .likely import word_of
from .neighbours import ill_tanks, likely_there
from .network_of import network_of
from .phrases import substance_marks

FAILED = "treatment_failed"
LEAST_D = 5.0  # of the context: sooner no medicine has failed


def failed_evidence(room: Room, course: CourseBegun, now: datetime, facts: Facts) -> Evidence:
    """What the room knows of the tank, and that what is given does not help.

    Parameters
    ----------
    room : Room
        The room after replay.
    course : CourseBegun
        That runs there.
    now : datetime
        The instant of the question.
    facts : Facts
        The kinds of its substance.
    """
    known = room_evidence(room, course.tank, facts, now)
    days = hours_between(course.at, now) / 24.0
    if course.substance not in facts.substances or days < LEAST_D:
        return known
    marks = substance_marks((course.substance,), facts)
    if any(h.context == FAILED and set(marks) <= set(h.of) for h in known.happened):
        return known
    told = Happened(context=FAILED, age_d=0.0, of=marks)
    return msgspec.structs.replace(known, happened=(*known.happened, told))


def reranked(room: Room, course: CourseBegun, now: datetime, facts: Facts, *, times: float = 1.0) -> Ranking:
    """What it may be, with the course's failure as evidence.

    Parameters
    ----------
    times : float
        By so much the counts since the course began move the odds of its own cause; 1: they were not asked.
    """
    found = causes(failed_evidence(room, course, now, facts), network_of(facts))
    rows = tuple(_moved(r, times) if r.id == course.cause else r for r in found.ranked)
    return msgspec.structs.replace(found, ranked=tuple(sorted(rows, key=lambda r: (-r.value, r.id))))


def _moved(row: Ranked, times: float) -> Ranked:
    low, value, high = (max(_odds(p, times), FLOOR.value) for p in (row.low, row.value, row.high))
    return msgspec.structs.replace(row, low=low, value=value, high=high, word=word_of(value))


def _odds(p: float, times: float) -> float:
    return p * times / (p * times + 1.0 - p)


def ill_of_it(room: Room, course: CourseBegun, now: datetime, facts: Facts) -> tuple[str, ...]:
    """Other tanks in which the cause of the course is likely by their own looks, or treated for now."""
    treated = [t for t, c in room.courses.items() if t != course.tank and c.cause == course.cause]
    seen = [
        other
        for other in ill_tanks(room, course.tank, now)
        if course.cause in likely_there(own_evidence(room, other, facts, now), facts)
    ]
    return tuple(dict.fromkeys((*treated, *seen))) if course.cause else ()
