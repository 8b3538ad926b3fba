"""Who may have been reached by what is in a tank, with what it may be by all that the logbook says."""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.rounds.episode import Episode, episode
from tankward.rounds.hold import Hold, hold_of
from tankward.rounds.reached import Reach, reached
from tankward.treat.remedies.carry import CATCHING
from tankward.treat.remedies.reach import LIKELY

from .examine import examine_tank


class Contacts(msgspec.Struct, frozen=True, kw_only=True):
    """What may be in a tank, and whom it may have met."""

    tank: str
    episode: Episode
    reach: Reach
    hold: Hold | None


def open_causes(room: Room, tank: str, seen: Episode, now: datetime, facts: Facts) -> tuple[str, ...]:
    """Catching causes that may be in a tank: those of its courses, and by its signs all that are not
    unlikely; () where nobody can say.
    """
    if seen.first_seen is None:
        return seen.causes
    found = examine_tank(room, tank, now, facts, looks_too=False)
    ranked = found.ranking.ranked if found.evidence.seen else ()
    likely = [r.id for r in ranked if r.value > LIKELY and facts.causes[r.id].group in CATCHING]
    return tuple(dict.fromkeys((*seen.causes, *likely)))


def contacts_of(room: Room, tank: str, now: datetime, zone: str, facts: Facts) -> Contacts:
    """Whom a tank may have reached.

    Parameters
    ----------
    room : Room
        As it stands.
    tank : str
        Id of the tank.
    now : datetime
        The moment.
    zone : str
        Of the keeper's wall clock.
    facts : Facts
        The facts.
    """
    seen = episode(room, tank, now, facts)
    causes = open_causes(room, tank, seen, now, facts)
    return Contacts(
        tank=tank,
        episode=seen,
        reach=reached(room, tank, causes, seen.signs, seen.first_seen, seen.since, now, zone, facts),
        hold=hold_of(room, tank, now, zone, facts),
    )
