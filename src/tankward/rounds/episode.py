"""What a tank went through lately: since when signs were seen in it, which, and what it was treated for."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.room.treated import Treated, treated

from .hold import UNKNOWN
from .watch import BEFORE_SEEN, believed, quarantine_d

GAP = timedelta(days=60)  # signs that lie further apart are another matter [our own choice]


class Episode(msgspec.Struct, frozen=True, kw_only=True):
    """`since`: it is counted as there from then. `causes`: those of its courses; `open_cause`: one of them
    was begun and nobody knew against what.
    """

    since: datetime
    first_seen: datetime | None
    last_seen: datetime | None
    signs: tuple[str, ...]
    causes: tuple[str, ...]
    open_cause: bool
    courses: tuple[Treated, ...]

    @property
    def nothing(self) -> bool:
        """Whether no sign was seen and no course given."""
        return self.first_seen is None and not self.courses


def episode(room: Room, tank: str, now: datetime, facts: Facts) -> Episode:
    """The signs and courses of a tank that still matter: half a year back, as long as an unknown cause holds.

    Where nothing was seen, it is counted from the usual days of a quarantine back: what is there unseen.
    """
    looks = [k for k in room.looks(tank) if now - UNKNOWN <= k.at <= now and k.seen]
    run = looks[-1:]
    for look in reversed(looks[:-1]):
        if run[0].at - look.at > GAP:
            break
        run.insert(0, look)
    given = tuple(t for t in treated(room, tank) if now - UNKNOWN <= t.begun.at <= now)
    of = [believed(t, facts) for t in given]
    first = min([*(k.at for k in run[:1]), *(t.begun.at for t in given)], default=None)
    return Episode(
        since=first - BEFORE_SEEN if first else now - timedelta(days=quarantine_d(facts)),
        first_seen=run[0].at if run else None,
        last_seen=run[-1].at if run else None,
        signs=_on_fish_first(dict.fromkeys(s for k in run for s in k.seen), facts),
        causes=tuple(dict.fromkeys(c for causes in of if causes for c in causes)),
        open_cause=any(causes == () for causes in of),
        courses=given,
    )


def _on_fish_first(signs: Iterable[str], facts: Facts) -> tuple[str, ...]:
    """What is looked for on a fish stands before what is a thing of the tank."""
    return tuple(sorted(signs, key=lambda s: s not in facts.signs or facts.signs[s].zone == "none"))
