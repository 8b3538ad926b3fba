"""An animal that came into a tank in the middle of a course: whether it bears it, and until when all wait."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

import msgspec

from tankward.judge.bearing import harmed
from tankward.judge.limits import limits
from tankward.judge.verdicts import Verdict, judge_levels, worst
from tankward.knowledge.known import Facts
from tankward.room.acts import Move
from tankward.room.entries.acts import Done
from tankward.room.entries.animals import StockAdded
from tankward.room.replay import Room
from tankward.room.things import Stock
from tankward.room.time import add_days

from .inside import PRESUMED, InIt

LATELY = timedelta(days=2)  # who came longer ago is nobody's slip of tonight [our own choice]
CLOCK_D = 28  # safety rule 27
HOURS = 24.0


class Newcomer(msgspec.Struct, frozen=True, kw_only=True):
    """Who came, what the medicines in the water mean to it, and when the quarantine of all ends now."""

    stock: tuple[Stock, ...]
    came: datetime
    verdicts: tuple[Verdict, ...]
    clock_until: datetime
    treated: bool  # a course runs, or a medicine is in the water
    fry: bool = False  # what one of them may give birth to would not bear it

    @property
    def says(self) -> str:
        """The hardest of them all."""
        return worst(self.verdicts)

    @property
    def out(self) -> tuple[str, ...]:
        """Who must not stay."""
        return tuple(dict.fromkeys(v.limit.who for v in self.verdicts if v.says == "refused"))

    @property
    def nameless(self) -> bool:
        """Whether nobody has said which animal it is."""
        return any(not s.kind for s in self.stock)


def newcomers(
    room: Room, tank: str, now: datetime, zone: str, facts: Facts, inside: Sequence[InIt]
) -> Newcomer | None:
    """Who came within two days, held against what is in the water; None where nobody did.

    Notes
    -----
    Level by level as the judge does it for a day. Whether somebody came has no bearing on the dose: it goes
    by the water (rule 4). What a newcomer may give birth to is told beside it, not as somebody who is there.
    A newcomer restarts the clock of its tank: 28 days for all (rule 27).
    """
    came = [e for e in room.of_tank(tank) if now - LATELY <= e.at <= now and isinstance(e, StockAdded)]
    moved = [
        e
        for e in room.log
        if isinstance(e, Done)
        and isinstance(e.act, Move)
        and e.act.to == tank
        and now - LATELY <= e.at <= now
    ]
    ids = {*(e.thing.id for e in came), *(e.act.stock for e in moved if isinstance(e.act, Move))}
    here = tuple(s for s in room.stock_of(tank) if s.id in ids or any(s.id == f"{i}-{tank}" for i in ids))
    if not here:
        return None
    at = max(e.at for e in (*came, *moved))
    found: list[Verdict] = []
    fry = False
    for x in inside:
        made = limits(x.substance, here, facts, not_there=PRESUMED)
        found += judge_levels(made, {x.substance: (x.level.low, x.level.value, x.level.high)}, HOURS, facts)
        rows = harmed(x.substance, x.level.high, here, facts).rows
        young = [v for v, _ in rows if v.limit.presumed in PRESUMED]
        fry = fry or bool(young)
        found += [v for v, _ in rows if v not in found and v not in young]
    return Newcomer(
        stock=here,
        came=at,
        verdicts=tuple(found),
        clock_until=add_days(at, CLOCK_D, zone),
        treated=bool(inside) or tank in room.courses,
        fry=fry,
    )
