"""Today: the round in safe order, and the steps of running courses that are due."""

from __future__ import annotations

from typing import ClassVar
from zoneinfo import ZoneInfo

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.room.replay import Room
from tankward.rounds.jobs import Job, jobs
from tankward.rounds.states import state_of
from tankward.show.words.room import count
from tankward.show.words.states import mark_of
from tankward.show.words.today import clock, late_words, today_heading

from ..border import border_of
from ..frame import Page, desk_of, keep, now_of, page, read_form


class JobRow(msgspec.Struct, frozen=True, kw_only=True):
    """One job as it stands in the list."""

    margin: str
    head: str
    soft: str
    late: str
    mark: str
    tank: str
    step: str


class TodayPage(Page, frozen=True, kw_only=True):
    """Today's round."""

    template: ClassVar[str] = "today.html"
    place: ClassVar[str] = "Today"
    looks: list[JobRow]
    steps: list[JobRow]


def _row(job: Job, room: Room, mark: str, zone: str) -> JobRow:
    tank = room.tanks[job.tank]
    who = ", ".join(f"{count(s.number)} {s.name}" for s in room.stock_of(job.tank))
    if job.step is None:
        return JobRow(margin=tank.name, head=who, soft="", late="", mark=mark, tank=tank.id, step="")
    step = job.step
    hour = clock(step.at.astimezone(ZoneInfo(zone)))
    head = f"{tank.name}: {step.how or step.amount}"
    return JobRow(
        margin=hour, head=head, soft=step.why, late=late_words(job), mark=mark, tank=tank.id, step=step.id
    )


async def show(request: Request) -> Response:
    room, now, zone = desk_of(request).room(), now_of(request), request.app.state.zone
    found = jobs(room, now, zone)
    marks = {t: mark_of(state_of(room, t, now)) for t in room.tanks}
    rows = [(j, _row(j, room, marks[j.tank], zone)) for j in found]
    record = TodayPage(
        title=today_heading(found, room),
        place_line=f"{now.astimezone(ZoneInfo(zone)):%A %d %B, %H:%M}",
        looks=[row for j, row in rows if j.kind == "look"],
        steps=[row for j, row in rows if j.kind == "step"],
    )
    return page(request, record)


async def all_well(request: Request) -> Response:
    """One touch for a well tank."""
    await read_form(request)
    written = border_of(request).log("look", request.path_params["tank"], {"well": "yes"})
    return keep(request, "/today", *written.entries)


ROUTES = [Route("/today", show), Route("/tanks/{tank}/well", all_well, methods=["POST"])]
