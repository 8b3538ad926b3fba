"""Without power: which tank comes first, worked out beside the page, which does not wait for it."""

from __future__ import annotations

from datetime import datetime

import msgspec
from starlette.requests import Request

from tankward.desk.background import Background
from tankward.knowledge.loader import load
from tankward.room.replay import Room
from tankward.show.words.mend_around import first_said
from tankward.treat.mend.power import Lasts, is_off, which_first

from .frame import desk_of

GOOD_FOR_S = 600


class FirstRow(msgspec.Struct, frozen=True, kw_only=True):
    """One tank: its name, where to, how long its oxygen lasts."""

    name: str
    url: str
    says: str


def first_rows(
    request: Request, room: Room, tank: str, slip: str, now: datetime
) -> tuple[list[FirstRow], bool]:
    """Every tank in which somebody lives, the first to be short of oxygen at the head; whether it is still
    being worked out. Nothing where the power of the whole room is not off.
    """
    if slip != "no-flow" or is_off(room, tank, now) != "all" or len(room.tanks) < 2:
        return [], False
    facts = load()
    answers: Background[tuple[Lasts, ...]] = request.app.state.power_first
    key = (desk_of(request).digest, facts.digest, int(now.timestamp()) // GOOD_FOR_S)
    ready = answers.of(key, lambda: which_first(room, now, facts))
    rows = [
        FirstRow(name=room.tanks[x.tank].name, url=f"/tanks/{x.tank}", says=first_said(x))
        for x in ready.answer or ()
    ]
    return rows, ready.pending
