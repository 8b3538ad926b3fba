"""Two counts of the ill, about a day apart: more, the same or fewer."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from tankward.room.acts import Change, Dose
from tankward.room.entries.animals import Death
from tankward.room.entries.looks import Look
from tankward.room.replay import Room
from tankward.room.time import hours_between

LEAST_H, MOST_H = 18.0, 72.0  # two counts apart by this are a day's count [our own choice]
MOVED = 0.25  # of the first count, and at least one fish: less is the same [our own choice]
BIG_CHANGE = 0.4


def trend_of(room: Room, tank: str, looks: Sequence[Look]) -> str:
    """ "more", "same", "fewer"; "" where nobody counted twice, or something was done in between.

    Parameters
    ----------
    room : Room
        The room.
    tank : str
        The tank.
    looks : sequence of Look
        Its looks, the oldest first.

    Notes
    -----
    The dead in between count as ill. After a medicine or a big change a count tells of that, not of the
    cause.
    """
    for later in reversed(looks):
        for earlier in reversed(looks):
            if not LEAST_H <= hours_between(earlier.at, later.at) <= MOST_H:
                continue
            both = set(later.counts) & set(earlier.counts)
            if both and not _disturbed(room, tank, earlier.at, later.at):
                sign = max(both, key=lambda s: (earlier.counts[s], s))
                died = _died(room, tank, earlier.at, later.at)
                return _moved(earlier.counts[sign], later.counts[sign] + died)
    return ""


def _moved(before: float, after: float) -> str:
    least = max(1.0, MOVED * before)
    return "more" if after - before >= least else "fewer" if before - after >= least else "same"


def _disturbed(room: Room, tank: str, start: datetime, end: datetime) -> bool:
    return any(
        start < at <= end and (isinstance(act, Dose) or (isinstance(act, Change) and act.share >= BIG_CHANGE))
        for at, act in room.acts(tank)
    )


def _died(room: Room, tank: str, start: datetime, end: datetime) -> float:
    return sum(e.number for e in room.of_tank(tank) if isinstance(e, Death) and start < e.at <= end)
