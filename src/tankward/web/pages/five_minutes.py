"""Five minutes with the demo: a few places to see, each ticked once it was opened. Only in the demo room."""

from __future__ import annotations

from typing import ClassVar

import msgspec
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.show.words.five_minutes import OWN, STEPS, Step, five_heading

from ..frame import Page, page, see_other

OPENED = "tankward-five"  # the cookie: ids of the steps that were opened
HERE = "/five-minutes"


class StepRow(msgspec.Struct, frozen=True, kw_only=True):
    """A step, and whether it was opened."""

    step: Step
    opened: bool


class FiveMinutes(Page, frozen=True, kw_only=True):
    """The steps, and how to leave."""

    template: ClassVar[str] = "five_minutes.html"
    place: ClassVar[str] = "More"
    steps: list[StepRow]
    own: tuple[str, ...]


def opened_of(request: Request) -> list[str]:
    """Ids of the steps that this visitor has opened."""
    kept = request.cookies.get(OPENED, "").split(".")
    return [s.id for s in STEPS if s.id in kept]


def only_in_the_demo(request: Request) -> None:
    if not request.app.state.demo:
        raise HTTPException(404)


async def show(request: Request) -> Response:
    only_in_the_demo(request)
    opened = opened_of(request)
    record = FiveMinutes(
        title=five_heading(len(opened)),
        place_line="Five minutes with the demo",
        steps=[StepRow(step=s, opened=s.id in opened) for s in STEPS],
        own=OWN,
    )
    return page(request, record)


async def go(request: Request) -> Response:
    """Tick the step in the visitor's cookie, then open the place."""
    only_in_the_demo(request)
    step = next((s for s in STEPS if s.id == request.path_params["step"]), None)
    if step is None:
        raise HTTPException(404)
    response = see_other(step.url)
    ids = ".".join(dict.fromkeys([*opened_of(request), step.id]))
    response.set_cookie(OPENED, ids, path=HERE, httponly=True, samesite="strict")
    return response


ROUTES = [Route(HERE, show), Route(f"{HERE}/{{step}}", go)]
