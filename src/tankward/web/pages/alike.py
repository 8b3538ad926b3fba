"""More tanks like one that is there, and a whole room from a pasted list."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.border import Written
from tankward.desk.find import find_tank
from tankward.desk.pasted import EXAMPLE, Line, pasted
from tankward.desk.several import MOST_ALIKE, alike
from tankward.quantities.faults import BadInput
from tankward.room.entries.tanks import TankAdded
from tankward.room.holds import water_of
from tankward.room.things import Tank
from tankward.show.words import first as words

from ..border import border_of
from ..frame import Page, desk_of, keep, page, read_form

LONGEST = 40_000  # characters of a pasted list


class AlikePage(Page, frozen=True, kw_only=True):
    """More tanks like one that is there."""

    template: ClassVar[str] = "tank_alike.html"
    why: str
    like: str
    others: list[tuple[str, str]]
    copies: str
    seen: str  # the number that the button speaks of
    button: str
    error: str


class ListRow(msgspec.Struct, frozen=True, kw_only=True):
    """One line of a pasted list, as it was understood."""

    margin: str
    head: str
    soft: str
    faults: list[str]


class ListPage(Page, frozen=True, kw_only=True):
    """A pasted list and its preview."""

    template: ClassVar[str] = "tank_list.html"
    text: str
    example: str
    rows: list[ListRow]
    button: str  # "" until every line is understood
    error: str


def _made(request: Request, like: str, copies: str) -> Written:
    if not copies.isdigit():
        raise BadInput("copies", copies, f"is not a number of tanks. Write 1 to {MOST_ALIKE}.")
    return alike(border_of(request), like, int(copies))


def _names(written: Written) -> list[str]:
    return [e.thing.name for e in written.entries if isinstance(e, TankAdded)]


def _water(tank: Tank) -> str:
    water = water_of(tank)
    return water.shown if water.value is not None else ""


async def show_alike(request: Request) -> Response:
    query = request.query_params
    return _alike(request, find_tank(desk_of(request).room(), query.get("like", ""), "like"), query)


def _alike(request: Request, like: Tank, typed: Mapping[str, str]) -> Response:
    copies, error, names = typed.get("copies", "1").strip(), "", []
    try:
        names = _names(_made(request, like.id, copies))
    except BadInput as fault:
        error = str(fault)
    tanks = desk_of(request).room().tanks.values()
    record = AlikePage(
        title=f"How many more like {like.name}?",
        why=f"{_water(like) or 'Its size'}, filter and warmth are taken over; nobody lives in them yet.",
        place_line=f"The same as {like.name}",
        like=like.id,
        others=[(t.name, f"/tanks/alike?like={t.id}") for t in tanks if t.id != like.id],
        copies=copies,
        seen=copies if names else "",
        button=words.alike_words(names) if names else "How many?",
        error=error,
    )
    return page(request, record, 422 if error else 200, whole=True)


async def add_alike(request: Request) -> Response:
    """Kept only in the number that the button spoke of; another number is shown first."""
    typed = await read_form(request)
    like = find_tank(desk_of(request).room(), typed.get("like", ""), "like")
    copies = typed.get("copies", "").strip()
    if copies != typed.get("seen"):
        return _alike(request, like, typed)
    return keep(request, "/", *_made(request, like.id, copies).entries)


def list_row(line: Line) -> ListRow:
    tank = line.tank
    return ListRow(
        margin=tank.name if tank else f"line {line.number}",
        head=words.line_words(_water(tank), line.entries) if tank else line.text,
        soft=words.line_soft(tank) if tank else "",
        faults=[str(f) for f in line.faults],
    )


def _list(request: Request, text: str, error: str = "") -> Response:
    try:
        if len(text) > LONGEST:
            raise BadInput("list", f"{len(text)} characters", "is too long. Paste fewer tanks at a time.")
        found = pasted(border_of(request), text)
    except BadInput as fault:
        found, error = pasted(border_of(request), ""), str(fault)
    wrong = sum(1 for line in found.lines if line.faults)
    record = ListPage(
        title=words.list_heading(len(found.lines), wrong) if found.lines else "Paste your tanks, one a line.",
        place_line="A room from a list",
        text=text,
        example=EXAMPLE,
        rows=[list_row(line) for line in found.lines],
        button=words.add_list_words(len(found.lines)) if found.whole else "",
        error=error,
    )
    return page(request, record, 422 if error or wrong else 200)


async def show_list(request: Request) -> Response:
    return _list(request, "")


async def preview(request: Request) -> Response:
    """The list as it was understood; nothing is kept."""
    return _list(request, (await read_form(request)).get("list", ""))


async def add_list(request: Request) -> Response:
    """The list that was shown; where it is not whole any more, its faults."""
    text = (await read_form(request)).get("list", "")
    found = pasted(border_of(request), text) if len(text) <= LONGEST else None
    return keep(request, "/", *found.entries) if found and found.whole else _list(request, text)


ROUTES = [
    Route("/tanks/alike", show_alike),
    Route("/tanks/alike", add_alike, methods=["POST"]),
    Route("/tanks/list", show_list),
    Route("/tanks/list", preview, methods=["POST"]),
    Route("/tanks/list/add", add_list, methods=["POST"]),
]
