"""Without power: which tank comes first, worked out beside the page, which does not wait for it."""

from __future__ import annotations

from datetime import datetime

import msgspec
from starlette.requests import Request

from tankward.desk.background import Background
from tankward.knowledge.loader import load
from tankward.room.replay import Room
from tankward.show.words.mend_around import first_said, lasting_said
from tankward.treat.mend.power import Lasts, is_off, which_first

from .frame import desk_of

GOOD_FOR_S = 600


class FirstRow(msgspec.Struct, frozen=True, kw_only=True):
    """One tank: its name, where to, how long its oxygen lasts."""

    name: str
    url: str
    says: str


class First(msgspec.Struct, frozen=True, kw_only=True):
    """The tanks that are short of oxygen within the night, the first at the head; the others in one line."""

    rows: list[FirstRow] = []
    lasting: str = ""
    pending: bool = False


def tanks_first(request: Request, room: Room, tank: str, slip: str, now: datetime) -> First:
    """Every tank in which somebody lives; nothing where the power of the whole room is not off."""
    if slip != "no-flow" or is_off(room, tank, now) != "all" or len(room.tanks) < 2:
        return First()
    facts = load()
    answers: Background[tuple[Lasts, ...]] = request.app.state.power_first
    key = (desk_of(request).digest, facts.digest, int(now.timestamp()) // GOOD_FOR_S)
    ready = answers.of(key, lambda: which_first(room, now, facts))
    found = ready.answer or ()
    rows = [
        FirstRow(name=room.tanks[x.tank].name, url=f"/tanks/{x.tank}", says=first_said(x))
        for x in found
        if x.fault or x.care[0] is not None
    ]
    last = [room.tanks[x.tank].name for x in found if not x.fault and x.care[0] is None]
    return First(rows=rows, lasting=lasting_said(last), pending=ready.pending)
