"""Tank: the finding, why, who lives here, the log."""

from __future__ import annotations

from typing import ClassVar

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_tank
from tankward.desk.lives import lives_here
from tankward.knowledge.loader import load
from tankward.quantities.working import Answer
from tankward.room.holds import water_of
from tankward.show.words.room import tank_heading, who_lives
from tankward.show.words.working import working_rows

from ..frame import Page, desk_of, page


class TankPage(Page, frozen=True, kw_only=True):
    """One tank."""

    template: ClassVar[str] = "tank.html"
    name: str
    water: Answer
    steps: list[dict[str, str]]
    lives: list[str]


async def show(request: Request) -> Response:
    room = desk_of(request).room()
    tank = find_tank(room, request.path_params["tank"])
    water = water_of(tank, room)
    record = TankPage(
        title=tank_heading(tank, water), place_line=tank.name, tank=tank.id, name=tank.name, water=water,
        steps=working_rows(water.how), lives=who_lives(lives_here(room, tank.id, load())),
    )  # fmt: skip
    return page(request, record)


ROUTES = [Route("/tanks/{tank}", show)]
