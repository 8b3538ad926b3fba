"""The course sheet as PDF: of the course that runs, or of one that is proposed."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward import __version__
from tankward.desk.find import find_tank
from tankward.desk.printing import course_to_print
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, Refused
from tankward.room.names import slug
from tankward.show.sheets.course import course_sheet
from tankward.show.sheets.press import PAPERS, printed

from ..course_forms import wanted_of
from ..frame import desk_of, now_of
from .course import refused_page

INVENTED = "Invented room"
# A reader of PDF inside the browser is a plugin to some; nothing else may come in.
POLICY = "default-src 'none'; object-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"


async def show(request: Request) -> Response:
    desk, now, zone, facts = desk_of(request), now_of(request), str(request.app.state.zone), load()
    tank = find_tank(desk.room(), request.path_params["tank"])
    paper = request.query_params.get("paper", "a4")
    if paper not in PAPERS:
        raise BadInput("paper", paper, f"is not one of {', '.join(PAPERS)}.")
    wanted = wanted_of(request.query_params)
    named = wanted if wanted.substance or wanted.route else None
    try:
        given = course_to_print(desk, tank.id, named, now, zone, facts)
    except Refused as no:
        return refused_page(request, tank, wanted, no.reasons)
    invented = INVENTED if request.app.state.demo else ""
    record = course_sheet(given, facts, now=now, zone=zone, program=__version__, invented=invented)
    headers = {
        "content-disposition": f'inline; filename="{slug(tank.name)}-course.pdf"',
        "content-security-policy": POLICY,
    }
    pdf = printed(record, "course", paper, now).pdf
    return Response(pdf, media_type="application/pdf", headers=headers)


ROUTES = [Route("/tanks/{tank}/sheet.pdf", show)]
