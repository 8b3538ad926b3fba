"""The course sheet as PDF: of the course that runs, or of one that is proposed."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.press import course
from tankward.press.course import KEYS
from tankward.quantities.faults import Refused

from ..course_forms import wanted_of
from .course import refused_page
from .prints import answered, asked_of


async def show(request: Request) -> Response:
    query = request.query_params
    typed = {key: query[key] for key, _ in KEYS if query.get(key, "").strip()}
    asked = asked_of(request, request.path_params["tank"], **typed)
    try:
        return answered(course.SHEET, asked, query.get("paper", ""))
    except Refused as no:
        assert asked.tank is not None  # it is in the address
        return refused_page(request, asked.tank, wanted_of(query), no.reasons)


ROUTES = [Route("/tanks/{tank}/sheet.pdf", show)]
