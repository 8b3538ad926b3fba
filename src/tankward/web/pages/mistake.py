"""I made a mistake: danger first, then the slip, then what to do now for this water."""

from __future__ import annotations

from typing import ClassVar

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.examine import told_of
from tankward.desk.find import find_tank
from tankward.judge.slips import what_now
from tankward.judge.urgent import Told
from tankward.judge.waterstate import water_state
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.show.words.mistake import SLIPS, done_heading, mistake_heading
from tankward.show.words.urgent import act_head, act_soft

from ..frame import Page, desk_of, now_of, page


class Act(msgspec.Struct, frozen=True, kw_only=True):
    """One act, with its question where an answer decides it."""

    head: str
    soft: str
    ask: str


class Mistake(Page, frozen=True, kw_only=True):
    """The slips to choose from, or what to do about the one that was chosen."""

    template: ClassVar[str] = "mistake.html"
    place: ClassVar[str] = "Look"
    base: str
    slips: dict[str, str]
    acts: list[Act]
    tell: list[str]
    danger: bool


async def show(request: Request) -> Response:
    room, now, facts = desk_of(request).room(), now_of(request), load()
    word = request.path_params.get("tank", "")
    tank = find_tank(room, word) if word else None
    slip = request.query_params.get("slip", "")
    if slip and slip not in SLIPS:
        raise BadInput("slip", slip, f"is not one of {', '.join(SLIPS)}.")
    told = told_of(room, tank.id, water_state(room, tank.id, now, facts), now) if tank else Told()
    found = what_now((), SLIPS[slip][1], told, facts) if slip else None
    name = tank.name if tank else ""
    record = Mistake(
        title=done_heading(slip, name) if slip else mistake_heading(name),
        place_line=f"{name}, a slip" if name else "A slip",
        tank=tank.id if tank else "",
        base=f"/tanks/{tank.id}" if tank else "",
        slips={} if slip else {key: row for key, (row, _) in SLIPS.items()},
        acts=[Act(head=act_head(s), soft=act_soft(s), ask=s.ask.says if s.ask else "") for s in found.steps]
        if found
        else [],
        tell=[a.says for a in found.ask] if found else [],
        danger=slip in ("", "too-much", "untreated-tap", "wrong-tank"),
    )
    return page(request, record)


ROUTES = [Route("/mistake", show), Route("/tanks/{tank}/mistake", show)]
