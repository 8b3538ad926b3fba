"""Today's round over all tanks: who is looked at in which order, what is to do by its hour, what is done."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime, timedelta

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.entries.animals import Counted
from tankward.room.entries.looks import Look
from tankward.room.replay import Room
from tankward.room.time import day_of

from .due import Due, due
from .heads import Heads, Missing, heads_of, missing
from .states import TankState, state_of
from .steps import StepDue, steps_today
from .watch import ClearanceWatch, open_watches

# Healthy first: nets and hands carry it on. Tanks in which signs were seen come last.
SAFE: dict[str, int] = {"well": 0, "unknown": 1, "watch": 2, "sick": 3}
LATE_NIGHT = timedelta(hours=5)  # a look after midnight belongs to the evening before it [our own choice]
ORDER_RULE = "order_of_round"


class Visit(msgspec.Struct, frozen=True, kw_only=True):
    """One tank of the round that is still to be looked at."""

    tank: str
    state: TankState
    heads: tuple[Heads, ...]
    after: tuple[str, ...] = ()  # tanks with signs that were done today before this healthier one


class Looked(msgspec.Struct, frozen=True, kw_only=True):
    """One tank that was looked at today, with what was counted in the same touch."""

    tank: str
    look: Look
    counts: tuple[Counted, ...]

    @property
    def well(self) -> bool:
        return self.look.well is not False and not self.look.seen


class Round(msgspec.Struct, frozen=True, kw_only=True):
    """Everything for today."""

    visits: tuple[Visit, ...]
    looked: tuple[Looked, ...]
    steps: tuple[StepDue, ...]
    missing: tuple[Missing, ...]
    due: tuple[Due, ...]

    @property
    def tanks(self) -> int:
        """How many the round has."""
        return len(self.visits) + len(self.looked)

    @property
    def open_steps(self) -> tuple[StepDue, ...]:
        return tuple(s for s in self.steps if s.state in ("late", "due"))

    @property
    def told_steps(self) -> tuple[StepDue, ...]:
        return tuple(s for s in self.steps if s.state in ("done", "skipped"))

    @property
    def nothing(self) -> bool:
        """Whether nothing is left to do."""
        return not (self.visits or self.open_steps or self.missing or self.due)


def round_of(room: Room, now: datetime, zone: str, facts: Facts) -> Round:
    """Today's round.

    Parameters
    ----------
    room
        As it stands.
    now
        The moment.
    zone
        Of the keeper's wall clock: a look counts for the day on which it was.
    facts
        What tells animals from plants, and how long newcomers stay apart.
    """
    looked = looked_today(room, now, zone)
    seen = {one.tank for one in looked}
    open_tanks = [t for t in room.tanks if t not in seen and heads_of(room, t, facts)]
    watched = open_watches(room, now, zone, facts)
    visits = [_visit(room, tank, looked, now, facts, watched) for tank in open_tanks]
    return Round(
        visits=tuple(sorted(visits, key=lambda v: safe_order(room, v.state))),
        looked=tuple(looked),
        steps=tuple(steps_today(room, now, zone, facts)),
        missing=tuple(missing(room, now)),
        due=tuple(due(room, now, zone, facts, watched)),
    )


def safe_order(room: Room, state: TankState) -> tuple[int, int, str]:
    """Where a tank stands in the round: by its state, then as it stands on the rack."""
    tank = room.tanks[state.tank]
    return SAFE.get(state.state, 0), tank.place, tank.name


def looked_today(room: Room, now: datetime, zone: str) -> list[Looked]:
    """Tanks looked at on the keeper's day, each by its last look, in the order in which it was done."""
    today = day_of(now - LATE_NIGHT, zone)
    last: dict[str, Look] = {}
    for entry in room.log:
        if (
            isinstance(entry, Look)
            and entry.tank in room.tanks
            and day_of(entry.at - LATE_NIGHT, zone) == today
        ):
            last[entry.tank] = entry
    counts = [e for e in room.log if isinstance(e, Counted)]
    rows = [
        Looked(tank=t, look=k, counts=tuple(c for c in counts if c.tank == t and c.at == k.at))
        for t, k in last.items()
    ]
    return sorted(rows, key=lambda r: r.look.at)


def _visit(
    room: Room,
    tank: str,
    looked: Sequence[Looked],
    now: datetime,
    facts: Facts,
    watched: Sequence[ClearanceWatch],
) -> Visit:
    state = state_of(room, tank, now, watched)
    sick = [one.tank for one in looked if state_of(room, one.tank, now).state == "sick"]
    return Visit(
        tank=tank,
        state=state,
        heads=heads_of(room, tank, facts),
        after=tuple(sick) if state.state != "sick" else (),
    )


def in_hand(found: Round, chosen: str = "", later: Collection[str] = ()) -> Visit | None:
    """The tank that stands open: the one chosen, else the next that was not put off."""
    named = next((v for v in found.visits if v.tank == chosen), None)
    left = [v for v in found.visits if v.tank not in later]
    return named or next(iter(left or found.visits), None)
