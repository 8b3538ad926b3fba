"""Cases that are over: what was seen, what it was taken for, what was done, how it ended, what it cost."""

from __future__ import annotations

from typing import ClassVar

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.cases import cases_of
from tankward.desk.find import find_tank
from tankward.knowledge.loader import load
from tankward.show.words.cases import NONE_SAYS, CaseRow, case_row, cases_heading

from ..frame import Page, desk_of, now_of, page


class CasesPage(Page, frozen=True, kw_only=True):
    """The cases of a tank or the room."""

    template: ClassVar[str] = "cases.html"
    place: ClassVar[str] = "More"
    why: str
    rows: list[CaseRow]
    all: bool  # of the whole room


async def show(request: Request) -> Response:
    room, now, zone, facts = desk_of(request).room(), now_of(request), str(request.app.state.zone), load()
    word = request.query_params.get("tank", "").strip()
    tank = find_tank(room, word) if word else None
    found = cases_of(room, now, zone, tank.id if tank else "")
    record = CasesPage(
        title=cases_heading(found, tank.name if tank else ""),
        place_line=f"{tank.name}, cases" if tank else "Cases",
        tank=tank.id if tank else "",
        why="" if found else NONE_SAYS,
        rows=[case_row(c, now, zone, facts) for c in found],
        all=tank is None,
    )
    return page(request, record)


ROUTES = [Route("/cases", show)]
