"""Moving: a tank to another place on the racks, animals to another tank."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_tank
from tankward.desk.moving import Move, move
from tankward.desk.several import shelves
from tankward.desk.standing import FIRST, stood
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.rounds.heads import heads_of
from tankward.rounds.states import state_of
from tankward.rounds.watch import open_watches
from tankward.show.words import moving as words
from tankward.show.words.states import word_of

from ..border import border_of
from ..faults import by_field
from ..fields import Shown
from ..frame import Page, desk_of, keep, now_of, page, read_form

OWN = ("stock", "to", "number", "when", "counted")


class MoveTankPage(Page, frozen=True, kw_only=True):
    """A tank put elsewhere on the racks."""

    template: ClassVar[str] = "move_tank.html"
    fields: list[Shown]
    shelves: list[str]
    shelf: str
    error: str


class MovePage(Page, frozen=True, kw_only=True):
    """Animals of a tank moved to another."""

    template: ClassVar[str] = "move.html"
    name: str
    groups: list[tuple[str, str]]
    stock: str
    fields: list[Shown]
    counted: str
    cautions: list[str]
    button: str
    seen: str  # what the cautions were told of; another choice is asked anew
    nobody: bool


class MoveFromPage(Page, frozen=True, kw_only=True):
    """From which tank animals are moved."""

    template: ClassVar[str] = "move_from.html"
    tanks: list[tuple[str, str, str]]


def _tank_page(request: Request, typed: Mapping[str, str], faults: Mapping[str, str]) -> Response:
    room = desk_of(request).room()
    rows = shelves(room)
    tanks = tuple((t.id, t.name) for row in rows.values() for t in row)
    after = (
        ("", "at the end of the row"),
        (FIRST, "first in the row"),
        *((i, f"after {n}") for i, n in tanks),
    )
    record = MoveTankPage(
        title="Where does it stand now?" if tanks else "There is no tank to move yet.",
        place_line="Room, move a tank",
        fields=[
            Shown(name="tank", label="Which tank?", value=typed.get("tank", ""), choices=tanks,
                  error=faults.get("tank", "")),
            Shown(name="after", label="Where in the row?", value=typed.get("after", ""), choices=after,
                  error=faults.get("after", "")),
        ] if tanks else [],
        shelves=[s for s in rows if s],
        shelf=typed.get("shelf", ""),
        error=faults.get("shelf", ""),
    )  # fmt: skip
    return page(request, record, 422 if faults else 200)


async def show_tank(request: Request) -> Response:
    return _tank_page(request, request.query_params, {})


async def write_tank(request: Request) -> Response:
    typed = await read_form(request)
    try:
        written = stood(
            border_of(request), typed.get("tank", ""), typed.get("shelf", ""), typed.get("after", "")
        )
    except BadInput as fault:
        return _tank_page(request, typed, by_field(fault))
    return keep(request, "/", *written.entries)


async def show_from(request: Request) -> Response:
    room, facts = desk_of(request).room(), load()
    rows = [(t, heads_of(room, t.id, facts)) for row in shelves(room).values() for t in row]
    tanks = [
        (t.name, f"/tanks/{t.id}/move", ", ".join(words.group_words(h.stock) for h in heads))
        for t, heads in rows
        if heads
    ]
    title = "Out of which tank?" if tanks else "Nobody lives here yet"
    return page(request, MoveFromPage(title=title, place_line="Room, move animals", tanks=tanks))


def _move_page(
    request: Request, typed: Mapping[str, str], faults: Mapping[str, str], thought: Move | None = None
) -> Response:
    room, facts, now = desk_of(request).room(), load(), now_of(request)
    zone = str(request.app.state.zone)
    watched = open_watches(room, now, zone, facts)
    tank = find_tank(room, request.path_params["tank"])
    heads = [h.stock for h in heads_of(room, tank.id, facts)]
    others = [t for row in shelves(room).values() for t in row if t.id != tank.id]
    word = {t.id: word_of(state_of(room, t.id, now, watched)) for t in others}
    to = (("", "choose a tank"), *((t.id, f"{t.name}, {word[t.id]}") for t in others))
    record = MovePage(
        title=words.before_words(thought.cautions, tank.id, room)
        if thought else f"Who leaves {tank.name}, and where to?",
        place_line=f"{tank.name}, move animals",
        tank=tank.id,
        name=tank.name,
        groups=[(s.id, words.group_words(s)) for s in heads],
        stock=typed.get("stock", "") or (heads[0].id if len(heads) == 1 else ""),
        fields=[
            Shown(name="number", label="How many? Nothing: all of them.", value=typed.get("number", ""),
                  error=faults.get("number", "")),
            Shown(name="to", label="To which tank?", value=typed.get("to", ""), choices=to,
                  error=faults.get("to", "") or faults.get("stock", "")),
            Shown(name="when", label="When? Nothing: now.", value=typed.get("when", ""),
                  hint="like 18:30, yesterday evening", error=faults.get("when", "")),
        ],
        counted=typed.get("counted", ""),
        cautions=[words.caution_words(c, room, now, zone, facts) for c in thought.cautions]
        if thought else [],
        button=words.button_words(typed.get("number", ""), thought.stock, room.tanks[thought.to].name)
        if thought else "Move them",
        seen=_choice(typed) if thought else "",
        nobody=not heads or not others,
    )  # fmt: skip
    return page(request, record, 422 if faults else 200)


def _choice(typed: Mapping[str, str]) -> str:
    """The tank and the group that the cautions speak of."""
    return f"{typed.get('stock', '')} {typed.get('to', '')}"


async def show(request: Request) -> Response:
    return _move_page(request, request.query_params, {})


async def write(request: Request) -> Response:
    """What speaks against it is told once, before anything is written."""
    typed = await read_form(request)
    tank = find_tank(desk_of(request).room(), request.path_params["tank"]).id
    try:
        found = move(border_of(request), tank, {k: typed.get(k, "") for k in OWN})
    except BadInput as fault:
        return _move_page(request, typed, by_field(fault))
    if found.cautions and typed.get("seen", "") != _choice(typed):
        return _move_page(request, typed, {}, found)
    url = "/today" if typed.get("counted") else f"/tanks/{found.to}#lives"
    return keep(request, url, *found.written.entries)


ROUTES = [
    Route("/tanks/move", show_tank),
    Route("/tanks/move", write_tank, methods=["POST"]),
    Route("/move", show_from),
    Route("/tanks/{tank}/move", show),
    Route("/tanks/{tank}/move", write, methods=["POST"]),
]
