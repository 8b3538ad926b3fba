"""A case for a veterinarian: what the logbook knows of a tank, to read out, send or print."""

from __future__ import annotations

from typing import ClassVar
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.press.case import gathered
from tankward.show.words import case as words

from ..frame import Page, desk_of, page
from ..photos import PhotoShown, shown
from .prints import asked_of

MOST_LETTERS = 500


class CasePage(Page, frozen=True, kw_only=True):
    """The parts, then whom to see; the photos that there are."""

    template: ClassVar[str] = "case.html"
    why: str
    first: tuple[words.Part, ...]
    rest: tuple[words.Part, ...]
    photos: list[PhotoShown]
    visit: str
    lines: tuple[tuple[str, str], ...]
    asked: str
    pdf: str


FIRST = 5  # parts in the left column: what is asked to the water


async def show(request: Request) -> Response:
    own = request.query_params.get("asked", "").strip()[:MOST_LETTERS]
    asked = asked_of(request, request.path_params["tank"], **({"asked": own} if own else {}))
    case, room = gathered(asked), asked.desk.room()
    tank = case.tank
    parts = words.parts(case, room, asked.facts, asked.now, asked.zone)
    about = {e.id for e in room.of_tank(tank.id)} if case.photos else set()
    pictures = shown(desk_of(request), about, room, asked.facts) if about else {}
    head, lines = words.visit(case, asked.facts)
    record = CasePage(
        title=words.finding(case, asked.facts),
        place_line=f"{tank.name}, case for a veterinarian",
        tank=tank.id,
        why=words.FOR_WHOM,
        first=parts[:FIRST],
        rest=parts[FIRST:],
        photos=[p for each in pictures.values() for p in each if p.src],
        visit=head,
        lines=lines,
        asked=own,
        pdf="/print/case.pdf?" + urlencode({"tank": tank.id, **asked.typed}),
    )
    return page(request, record)


ROUTES = [Route("/tanks/{tank}/case", show)]
