"""I made a mistake: danger first, then the slip, then what, when, how much; written down as it was."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_tank
from tankward.desk.slips import NEW, happened
from tankward.judge.slips import what_now
from tankward.judge.urgent import Told
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.show.words.days import moment_line
from tankward.show.words.judge import step_ask
from tankward.show.words.mistake import ASKED, BENEATH, SLIPS, SOFT, done_heading, mistake_heading
from tankward.show.words.urgent import act_head, act_soft

from ..border import border_of
from ..faults import by_field
from ..fields import Shown
from ..frame import Page, desk_of, keep, now_of, page, read_form, see_other
from ..slips import Asking, Choice, asked


class Act(msgspec.Struct, frozen=True, kw_only=True):
    """One act, with its question where an answer decides it."""

    head: str
    soft: str
    ask: str


class Way(msgspec.Struct, frozen=True, kw_only=True):
    """A slip to choose."""

    words: str
    soft: str
    url: str


class Mistake(Page, frozen=True, kw_only=True):
    """The slips to choose from; without a tank, what to do about the one that was chosen."""

    template: ClassVar[str] = "mistake.html"
    place: ClassVar[str] = "Look"
    name: str
    now_url: str
    beneath: str
    others: list[tuple[str, str]]  # tanks: name and address
    ways: list[Way]
    acts: list[Act]
    tell: list[str]


class Telling(Page, frozen=True, kw_only=True):
    """What, when, how much."""

    template: ClassVar[str] = "mistake_told.html"
    place: ClassVar[str] = "Look"
    slip: str
    choices: list[Choice]
    fields: list[Shown]
    unwritten: list[Shown]  # for a dose that is not in the log yet
    unwritten_open: bool
    fault: str


def slip_of(word: str) -> str:
    """A slip that is known.

    Raises
    ------
    BadInput
        Naming them all.
    """
    if word not in SLIPS:
        raise BadInput("slip", word, f"is not one of {', '.join(SLIPS)}.")
    return word


async def show(request: Request) -> Response:
    """The slips; with one chosen and no tank, the acts for any water."""
    room = desk_of(request).room()
    word = request.path_params.get("tank", "")
    tank = find_tank(room, word) if word else None
    slip = request.query_params.get("slip", "")
    if slip and tank:
        return see_other(f"/tanks/{tank.id}/mistake/{slip_of(slip)}")
    found = what_now((), SLIPS[slip_of(slip)][1], Told(), load()) if slip else None
    record = Mistake(
        title=done_heading(slip, "") if slip else mistake_heading(tank.name if tank else ""),
        place_line=_place(tank, request),
        tank=tank.id if tank else "",
        name=tank.name if tank else "",
        now_url=f"/tanks/{tank.id}/now" if tank else "/now",
        beneath="" if slip else BENEATH,
        others=_others(room, tank),
        ways=[] if slip else _ways(tank),
        acts=[Act(head=act_head(s), soft=act_soft(s), ask=step_ask(s)) for s in found.steps] if found else [],
        tell=[a.says for a in found.ask] if found else [],
    )
    return page(request, record, mistake_url="")


def _place(tank: Tank | None, request: Request) -> str:
    told = moment_line(now_of(request), request.app.state.zone)
    return f"{tank.name}, {told}" if tank else told


def _others(room: Room, tank: Tank | None) -> list[tuple[str, str]]:
    tanks = sorted(room.tanks.values(), key=lambda t: t.place)
    return [(t.name, f"/tanks/{t.id}/mistake") for t in tanks if tank is None or t.id != tank.id]


def _ways(tank: Tank | None) -> list[Way]:
    base = f"/tanks/{tank.id}/mistake/" if tank else "/mistake?slip="
    return [Way(words=words, soft=SOFT.get(slip, ""), url=base + slip) for slip, (words, _) in SLIPS.items()]


def _page(request: Request, slip: str, typed: Mapping[str, str], fault: BadInput | None) -> Response:
    room, now, zone = desk_of(request).room(), now_of(request), str(request.app.state.zone)
    tank = find_tank(room, request.path_params["tank"])
    faults = by_field(fault) if fault else {}
    ask = Asking(room=room, tank=tank, now=now, zone=zone, typed=typed, faults=faults)
    choices, fields, unwritten = asked(slip, ask)
    named = {f.name for f in (*fields, *unwritten)}
    record = Telling(
        title=ASKED[slip],
        place_line=f"{tank.name}, {SLIPS[slip][0].lower()}",
        tank=tank.id,
        slip=slip,
        choices=choices,
        fields=fields,
        unwritten=unwritten,
        unwritten_open=any(c.name == "dose" and c.chosen == NEW for c in choices),
        fault=" ".join(s for f, s in faults.items() if f not in named),
    )
    return page(request, record, 422 if fault else 200, mistake_url="")


async def tell(request: Request) -> Response:
    return _page(request, slip_of(request.path_params["slip"]), {}, None)


async def write(request: Request) -> Response:
    """What happened becomes entries; the next page begins with what to do now."""
    slip = slip_of(request.path_params["slip"])
    typed = await read_form(request)
    tank = find_tank(desk_of(request).room(), request.path_params["tank"]).id
    try:
        written = happened(border_of(request), slip, tank, typed)
    except BadInput as fault:
        return _page(request, slip, typed, fault)
    if written is None:
        return see_other(f"/tanks/{tank}/mistake/{slip}/after")
    there = written.entry.tank
    # A correction is taken back as a whole: the entry that says so comes last.
    undo = written.entries[-1:] if written.corrects else written.entries
    return keep(request, f"/tanks/{there}/mistake/{slip}/after", *written.entries, undo=undo)


ROUTES = [
    Route("/mistake", show),
    Route("/tanks/{tank}/mistake", show),
    Route("/tanks/{tank}/mistake/{slip}", tell),
    Route("/tanks/{tank}/mistake/{slip}", write, methods=["POST"]),
]
