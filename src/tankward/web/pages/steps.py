"""Ticks, steps left out, a course stopped, an entry taken back: each a form, then the tank again."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_tank
from tankward.desk.running import skipped, stopped, ticked
from tankward.room.fields import NOTE_LENGTH

from ..border import border_of
from ..frame import desk_of, keep, now_of, read_form, see_other


async def tick(request: Request) -> Response:
    """A step is done, or left out; a second touch writes nothing."""
    typed = await read_form(request)
    desk, now, zone = desk_of(request), now_of(request), str(request.app.state.zone)
    tank = find_tank(desk.room(), request.path_params["tank"]).id
    entry = (
        skipped(desk.room(), tank, typed["skip"], "", now, zone)
        if typed.get("skip")
        else ticked(desk.room(), tank, typed.get("done", ""), now, zone)
    )
    where = f"/tanks/{tank}#planned"
    return keep(request, where, entry) if entry is not None else see_other(where)


async def stop(request: Request) -> Response:
    typed = await read_form(request)
    desk, zone = desk_of(request), str(request.app.state.zone)
    tank = find_tank(desk.room(), request.path_params["tank"]).id
    why = typed.get("why", "").strip()[:NOTE_LENGTH]
    return keep(request, f"/tanks/{tank}", stopped(desk.room(), tank, why, now_of(request), zone))


async def undo(request: Request) -> Response:
    typed = await read_form(request)
    tank = find_tank(desk_of(request).room(), request.path_params["tank"]).id
    written = border_of(request).undo(typed.get("entry", ""))
    return keep(request, f"/tanks/{tank}#log", *written.entries)


ROUTES = [
    Route("/tanks/{tank}/steps", tick, methods=["POST"]),
    Route("/tanks/{tank}/course-stop", stop, methods=["POST"]),
    Route("/tanks/{tank}/undo", undo, methods=["POST"]),
]
