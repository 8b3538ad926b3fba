"""The cards of the tanks: what their squares open, and their PDF."""

from __future__ import annotations

from typing import ClassVar
from urllib.parse import urlencode, urlsplit

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.press.cards import address_of
from tankward.quantities.faults import BadInput
from tankward.show.words import cards as words

from ..faults import by_field
from ..fields import Shown
from ..frame import Page, desk_of, page
from .prints import asked_of

LOOPBACK = ("127.0.0.1", "localhost", "::1")


class CardsPage(Page, frozen=True, kw_only=True):
    """All tanks, or one."""

    template: ClassVar[str] = "cards.html"
    place: ClassVar[str] = "More"
    opens: str
    only_here: bool
    fields: list[Shown]
    all_pdf: str
    tanks: tuple[tuple[str, str], ...]


async def show(request: Request) -> Response:
    typed = {"address": value} if (value := request.query_params.get("address", "").strip()) else {}
    faults: dict[str, str] = {}
    try:
        address = address_of(asked_of(request, **typed))
    except BadInput as fault:
        faults, address = by_field(fault), address_of(asked_of(request))
    room = desk_of(request).room()
    kept = {} if faults else typed
    record = CardsPage(
        title=words.TITLE,
        place_line=words.TITLE,
        opens=address,
        only_here=(urlsplit(address).hostname or "") in LOOPBACK,
        fields=[
            Shown(
                name="address", label="Another address", hint="like http://192.168.1.20:8765",
                value=typed.get("address", ""), error=faults.get("address", ""),
            )
        ],
        all_pdf=_pdf(kept) if room.tanks else "",
        tanks=tuple((t.name, _pdf({"tank": t.id, **kept})) for t in room.tanks.values()),
    )  # fmt: skip
    return page(request, record, 422 if faults else 200)


def _pdf(query: dict[str, str]) -> str:
    return "/print/tank.pdf" + (f"?{urlencode(query)}" if query else "")


ROUTES = [Route("/cards", show)]
