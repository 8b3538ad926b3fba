"""Animals or plants that come to live in a tank."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_tank
from tankward.desk.lives import lives_here
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.forms import form
from tankward.show.words.room import who_lives

from ..border import border_of
from ..faults import by_field
from ..fields import Shown, asked
from ..frame import Page, desk_of, keep, page, read_form


class StockPage(Page, frozen=True, kw_only=True):
    """The form of a new group."""

    template: ClassVar[str] = "stock.html"
    name: str
    lives: list[str]
    fields: list[Shown]
    fault: str


def _page(request: Request, typed: Mapping[str, str], fault: BadInput | None) -> Response:
    room = desk_of(request).room()
    tank = find_tank(room, request.path_params["tank"])
    faults = by_field(fault) if fault else {}
    rows = asked(form("stock").questions, typed, faults)
    named = {f.name for f in rows}
    record = StockPage(
        title=f"Who came into {tank.name}?",
        place_line=f"{tank.name}, animals",
        tank=tank.id,
        name=tank.name,
        lives=who_lives(lives_here(room, tank.id, load())),
        fields=rows,
        fault=" ".join(s for f, s in faults.items() if f not in named),
    )
    return page(request, record, 422 if fault else 200)


async def show(request: Request) -> Response:
    return _page(request, {}, None)


async def add(request: Request) -> Response:
    typed = await read_form(request)
    try:
        written = border_of(request).stock(request.path_params["tank"], {k: v for k, v in typed.items() if v})
    except BadInput as fault:
        return _page(request, typed, fault)
    return keep(request, f"/tanks/{written.entry.tank}#lives", *written.entries)


ROUTES = [Route("/tanks/{tank}/stock", show), Route("/tanks/{tank}/stock", add, methods=["POST"])]
