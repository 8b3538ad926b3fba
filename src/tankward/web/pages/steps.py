"""Ticks, steps left out, a course stopped, an entry taken back: each a form, then the tank again."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_tank
from tankward.desk.running import skipped, stopped, ticked
from tankward.room.entries.base import Entry
from tankward.room.fields import NOTE_LENGTH
from tankward.room.time import moment, not_future

from ..border import border_of
from ..frame import desk_of, keep, now_of, read_form, see_other
from ..touch import queued, taken_off


@queued
async def tick(request: Request) -> Response:
    """A step is done, now or when it is said, or left out; a second touch writes nothing."""
    typed = await read_form(request)
    touch = taken_off(request, typed)
    desk, now, zone = desk_of(request), touch.at, str(request.app.state.zone)
    tank = find_tank(desk.room(), request.path_params["tank"]).id
    where = "/today#tonight" if typed.get("back") == "/today" else f"/tanks/{tank}#planned"
    if touch.known(tuple(desk.entries())):
        return see_other(where)
    if not (typed.get("skip") or typed.get("done")):
        return see_other(where)  # the enter key in the field of the time ticks nothing
    if typed.get("skip"):
        entry: Entry | None = skipped(desk.room(), tank, typed["skip"], "", now, zone, made=touch.ids())
    else:
        said = typed.get("when", "")
        found = moment(said, now, zone)
        at = not_future(found.at, now, said) if said else now
        sure = "about" if found.rough else "sure"
        entry = ticked(desk.room(), tank, typed["done"], at, zone, sure=sure, made=touch.ids())
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
