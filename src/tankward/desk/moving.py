"""Animals moved to another tank: the entry, and what must be thought of before."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

import msgspec

from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.acts import Dose
from tankward.room.things import Stock
from tankward.rounds.heads import missing
from tankward.rounds.hold import Hold, hold_of
from tankward.rounds.states import TankState, state_of
from tankward.rounds.watch import open_watches

from .border import Border, Written
from .find import find_stock, find_tank

MATCHED_C = 2.0  # warmth may differ by so much; hygiene: acclimation, float
# What holds a tank though nothing is seen there (safety rules 26, 27).
HELD = ("for-life", "carried", "met", "newcomers")
Kind = Literal["carries", "held", "course", "warmth", "warmth-unknown"]


class Caution(msgspec.Struct, frozen=True, kw_only=True):
    """One thing to think of before animals are moved."""

    kind: Kind
    tank: str
    state: TankState | None = None
    hold: Hold | None = None
    course: str = ""
    differ_c: float = 0.0


class Move(msgspec.Struct, frozen=True, kw_only=True):
    """Who is moved where, and what speaks against it."""

    stock: Stock
    to: str
    cautions: tuple[Caution, ...]
    written: Written


def move(border: Border, tank: str, texts: Mapping[str, str]) -> Move:
    """Animals of a tank moved to another.

    Parameters
    ----------
    texts
        `stock`: the group; `to`: the tank; `number`: nothing for all of them; `when`; `counted`: the count
        that missed them, so that the move comes before it.

    Raises
    ------
    BadInput
        If they live elsewhere, go nowhere, or are fewer than that.
    """
    room = border.room
    home = find_tank(room, tank)
    if not texts.get("to", "").strip():
        raise BadInput("to", "", "is missing. Choose the tank they go to.")
    there = find_tank(room, texts["to"], "to")
    counted = next((m for m in missing(room, border.now) if m.counted == texts.get("counted")), None)
    stock = counted.stock if counted else find_stock(room, home.id, texts.get("stock", ""))
    if counted is not None:
        # As it was before the count: the one that left was still there.
        before = room.with_number(stock.id, Estimate.exact(counted.before))
        border = msgspec.structs.replace(border, now=counted.asks_at, room=before)
    number = texts.get("number", "").strip()
    told = {"stock": stock.id, "to": there.id, "number": number, "when": texts.get("when", "")}
    written = border.log("move", home.id, {k: v for k, v in told.items() if v})
    return Move(stock=stock, to=there.id, cautions=cautions(border, home.id, there.id), written=written)


def cautions(border: Border, home: str, there: str) -> tuple[Caution, ...]:
    """What speaks against a move between two tanks: signs, survivors, courses, another warmth."""
    room, now, zone, facts = border.room, border.now, border.zone, border.facts
    watched = open_watches(room, now, zone, facts)
    found: list[Caution] = []
    for tank in (home, there):
        hold = hold_of(room, tank, now, zone, facts, watched)
        if hold is not None and hold.why in HELD:
            found.append(Caution(kind="held", tank=tank, hold=hold))
            continue
        state = state_of(room, tank, now, watched)
        if state.state in ("sick", "watch", "unknown"):
            found.append(Caution(kind="carries", tank=tank, state=state))
    course = room.courses.get(there)
    if course is not None and any(isinstance(s.act, Dose) for s in course.steps):
        found.append(Caution(kind="course", tank=there, course=course.name))
    warm = [room.tanks[t].temp_c for t in (home, there)]
    if warm[0] is None or warm[1] is None:
        found.append(Caution(kind="warmth-unknown", tank=there if warm[1] is None else home))
    elif abs(warm[1].value - warm[0].value) > MATCHED_C:
        found.append(Caution(kind="warmth", tank=there, differ_c=warm[1].value - warm[0].value))
    return tuple(found)
