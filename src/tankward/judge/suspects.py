"""Which organisms are followed in a tank's forecast: that of the course that runs, else what is likely by the
looks.
"""

from __future__ import annotations

from datetime import datetime

from tankward.knowledge.known import Facts
from tankward.model.suspect import Suspect, of_causes
from tankward.room.replay import Room

from .causes import causes
from .choices import LIKELY_ENOUGH, MOST_FOLLOWED
from .from_room import room_evidence
from .network_of import network_of


def suspects(room: Room, tank: str, now: datetime, facts: Facts) -> tuple[Suspect, ...]:
    """The organisms that may be at work in a tank.

    Parameters
    ----------
    room : Room
        The logbook, replayed.
    tank : str
        Its id.
    now : datetime
        With its zone.
    facts : Facts
        The facts.

    Returns
    -------
    tuple of Suspect
        By the cause of the course that runs; where none is named, by every cause that the looks of the last
        week make at least as likely as not to be thought of, likeliest first. Without a sign there is none.
    """
    running = room.courses.get(tank)
    if running is not None and running.cause in facts.causes:
        return of_causes([(running.cause, None)], facts)
    evidence = room_evidence(room, tank, facts, now)
    if not evidence.seen:
        return ()
    ranked = causes(evidence, network_of(facts)).ranked
    likely = [(r.id, r.value) for r in ranked if r.value >= LIKELY_ENOUGH.value]
    return of_causes(likely, facts)[: round(MOST_FOLLOWED.value)]
