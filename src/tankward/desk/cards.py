"""What stands on the card of a tank: its water, who lives there, what must never go in."""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer
from tankward.room.holds import water_of
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.rounds.states import State, state_of
from tankward.rounds.watch import ClearanceWatch, open_watches

from .lives import Lives, lives_here

COPPER_KILLS = ("shrimp", "snail", "crayfish")


class CardOf(msgspec.Struct, frozen=True, kw_only=True):
    """One tank."""

    tank: Tank
    water: Answer
    lives: tuple[Lives, ...]
    temp_c: Estimate | None
    state: State
    copper_kills: tuple[str, ...]  # kinds there that copper kills; an unknown one may be one of them
    unknown_kind: bool


def cards_of(room: Room, tanks: tuple[str, ...], now: datetime, facts: Facts) -> tuple[CardOf, ...]:
    """The cards of some tanks, in their order."""
    watched = open_watches(room, now, "UTC", facts)
    return tuple(_card(room, room.tanks[tank], now, facts, watched) for tank in tanks)


def _card(room: Room, tank: Tank, now: datetime, facts: Facts, watched: tuple[ClearanceWatch, ...]) -> CardOf:
    lives = tuple(s for s in lives_here(room, tank.id, facts) if s.stock.kind not in facts.plants)
    kinds = {s.stock.kind: facts.animals[s.stock.kind].kind for s in lives if s.stock.kind in facts.animals}
    return CardOf(
        tank=tank,
        water=water_of(tank, room),
        lives=lives,
        temp_c=tank.temp_c,
        state=state_of(room, tank.id, now, watched).state,
        copper_kills=tuple(kind for kind in COPPER_KILLS if kind in kinds.values()),
        unknown_kind=any(not s.stock.kind for s in lives),
    )
