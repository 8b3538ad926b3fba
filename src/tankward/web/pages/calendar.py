"""The calendar of a tank, of a course that is only proposed, or of the room; and the same as iCalendar."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime, timedelta
from typing import ClassVar
from urllib.parse import urlencode

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.courses import Wanted
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.press.calendar import Gathered, file_of, gathered
from tankward.quantities.faults import Refused
from tankward.room.replay import Room
from tankward.room.time import day_of, local
from tankward.rounds.calendar import DayMark, Moment
from tankward.show.calendar_file import MIME
from tankward.show.drawings.day_bar import day_bar
from tankward.show.drawings.svg import Svg
from tankward.show.words.acts import ended
from tankward.show.words.calendar import (
    OUTSIDE,
    calendar_says,
    home_words,
    hours_lines,
    mark_head,
    mark_soft,
    moment_head,
    moment_state,
    tank_name,
)
from tankward.show.words.days import clock

from ..course_forms import pairs_of, wanted_of
from ..frame import Page, page
from .course import refused_page
from .prints import asked_of

LEAST_WEEKS = 2
MOST_WEEKS = 16  # of a page; the file has everything [our own choice]
WEEK = timedelta(days=7)


class Item(msgspec.Struct, frozen=True, kw_only=True):
    """One thing of a day."""

    at: str  # "" for a whole day
    head: str
    soft: str
    tank: str  # named where the page is about more than one
    state: str  # "", Done, Left out
    outside: str
    hazard: str


class Day(msgspec.Struct, frozen=True, kw_only=True):
    """One day. `quiet`: over, or further off, and nothing on it."""

    name: str
    sub: str  # Today, or the month that begins
    today: bool
    home: str
    bar: Svg | None
    items: list[Item]
    quiet: bool


class Week(msgspec.Struct, frozen=True, kw_only=True):
    """Monday to Sunday; `gap`: the weeks before it that have nothing."""

    title: str
    gap: str
    days: list[Day]


class CalendarPage(Page, frozen=True, kw_only=True):
    """Two weeks or more."""

    template: ClassVar[str] = "calendar.html"
    why: str
    danger: list[str]
    weeks: list[Week]
    lines: list[str]
    hours: bool
    file: str
    steps: str  # where they are ticked
    back: str  # the course that is only proposed


class Names(msgspec.Struct, frozen=True, kw_only=True):
    """What the rows are worded with."""

    room: Room
    facts: Facts
    zone: str
    many: bool


async def show_tank(request: Request) -> Response:
    return _shown(request, request.path_params["tank"])


async def show_room(request: Request) -> Response:
    return _shown(request, "")


def wanted_here(request: Request) -> Wanted | None:
    """A course that the address names; None where it names none."""
    query = request.query_params
    named = any(query.get(k) for k in ("substance", "route", "remedy"))
    return wanted_of(query) if named else None


def _shown(request: Request, tank: str) -> Response:
    asked, wanted = asked_of(request, tank), wanted_here(request)
    try:
        given = gathered(asked, wanted)
    except Refused as no:
        assert asked.tank is not None and wanted is not None  # only a course is refused
        return refused_page(request, asked.tank, wanted, no.reasons)
    room, zone, now = asked.desk.room(), asked.zone, asked.now
    query = urlencode(pairs_of(wanted)) if wanted else ""
    base = f"/tanks/{asked.tank.id}" if asked.tank else ""
    today = day_of(now, zone)
    names = Names(room=room, facts=load(), zone=zone, many=asked.tank is None)
    name = asked.tank.name if asked.tank else ""
    says, why = calendar_says(given.calendar, name, given.proposed, now, zone)
    record = CalendarPage(
        title=says, why=why, place_line=f"{name}, calendar" if name else "Calendar",
        tank=asked.tank.id if asked.tank else "",
        danger=[line for lines in given.danger.values() for line in lines],
        weeks=weeks_of(given, names, today),
        lines=hours_lines(given.hours, today) if given.hours else [], hours=given.hours is not None,
        file=f"{base}/calendar.ics{'?' if query else ''}{query}",
        steps=f"{base}#planned" if asked.tank and asked.tank.id in room.courses and not wanted else "",
        back=f"{base}/course?{query}" if wanted else "",
    )  # fmt: skip
    return page(request, record, place="Room" if asked.tank else "More")


def weeks_of(given: Gathered, names: Names, today: date) -> list[Week]:
    """This week and the next, and every later one with something on it."""
    busy = given.calendar.days(names.zone)
    first = _monday(today if given.proposed or not busy else min(today, _open_from(given, names.zone, today)))
    mondays = {first + n * WEEK for n in range(LEAST_WEEKS)} | {_monday(d) for d in busy if d >= first}
    found: list[Week] = []
    before = first - WEEK
    for monday in sorted(mondays)[:MOST_WEEKS]:
        found.append(_week(monday, (monday - before).days // 7 - 1, given, names, today))
        before = monday
    return found


def _open_from(given: Gathered, zone: str, today: date) -> date:
    """The day of the first step of a course that runs, if not more than two weeks ago."""
    days = [day_of(m.at, zone) for m in given.calendar.moments]
    return max(min(days, default=today), today - LEAST_WEEKS * WEEK)


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def _week(monday: date, gap: int, given: Gathered, names: Names, today: date) -> Week:
    days = [_day(monday + timedelta(days=n), given, names, today) for n in range(7)]
    near = {0: "This week", 7: "Next week"}.get((monday - _monday(today)).days, "")
    title = f"{monday.day} {monday:%B}"
    return Week(
        title=near or f"Week of {title}",
        gap="" if gap <= 0 else "A week with nothing." if gap == 1 else f"{gap} weeks with nothing.",
        days=days,
    )


def _day(day: date, given: Gathered, names: Names, today: date) -> Day:
    moments = [m for m in given.calendar.moments if day_of(m.at, names.zone) == day]
    marks = [m for m in given.calendar.marks if m.on == day]
    items = [*(_mark(m, names) for m in marks), *(_moment(m, names) for m in moments)]
    hours = given.hours
    return Day(
        name=f"{day:%a} {day.day}", sub="Today" if day == today else f"{day:%b}" if day.day == 1 else "",
        today=day == today,
        home=home_words(hours, day),
        bar=day_bar(
            hours.spans_on(day) if hours else (), away=bool(hours and hours.away(day)),
            acts=[(_minute(m.at, names.zone), m.over) for m in moments],
        ) if hours or moments else None,
        items=items, quiet=not items and (day < today or day >= today + LEAST_WEEKS * WEEK),
    )  # fmt: skip


def _minute(at: datetime, zone: str) -> int:
    there = local(at, zone)
    return 60 * there.hour + there.minute


def _moment(moment: Moment, names: Names) -> Item:
    hazards = dict.fromkeys(s.step.hazard for s in moment.steps if s.step.hazard and s.state == "open")
    return Item(
        at=clock(moment.at, names.zone), head=ended(moment_head(moment, names.facts)), soft="",
        tank=tank_name(moment.tank, names.room) if names.many else "", state=moment_state(moment),
        outside=OUTSIDE if moment.outside else "", hazard=" ".join(hazards),
    )  # fmt: skip


def _mark(mark: DayMark, names: Names) -> Item:
    return Item(
        at="", head=ended(mark_head(mark, names.room, names.facts)), soft=mark_soft(mark, names.facts),
        tank="", state="Done" if mark.look is not None and mark.look.done else "", outside="", hazard="",
    )  # fmt: skip


async def ics_tank(request: Request) -> Response:
    return _file(request, request.path_params["tank"])


async def ics_room(request: Request) -> Response:
    return _file(request, "")


def _file(request: Request, tank: str) -> Response:
    asked, wanted = asked_of(request, tank), wanted_here(request)
    try:
        name, made = file_of(asked, gathered(asked, wanted))
    except Refused as no:
        assert asked.tank is not None and wanted is not None  # only a course is refused
        return refused_page(request, asked.tank, wanted, no.reasons)
    headers: Mapping[str, str] = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(made, media_type=MIME, headers=headers)


ROUTES: Iterable[Route] = [
    Route("/calendar", show_room),
    Route("/calendar.ics", ics_room),
    Route("/tanks/{tank}/calendar", show_tank),
    Route("/tanks/{tank}/calendar.ics", ics_tank),
]
