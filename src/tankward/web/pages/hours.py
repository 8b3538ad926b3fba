"""When the keeper can be at the tanks: written as they like, shown as it was understood, then kept."""

from __future__ import annotations

from datetime import date, timedelta
from typing import ClassVar

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.quantities.faults import BadInput
from tankward.quantities.parse import is_unknown
from tankward.room.hours import Hours, hours_of, understood
from tankward.room.time import day_of
from tankward.show.drawings.day_bar import day_bar
from tankward.show.drawings.svg import Svg
from tankward.show.words.calendar import HOURS_EXAMPLES, home_words, hours_lines

from ..border import border_of
from ..frame import Page, desk_of, keep, now_of, page, read_form

WEEKS = 2
UNSAID = "dont-know"


class HomeDay(msgspec.Struct, frozen=True, kw_only=True):
    """One day as it was understood."""

    margin: str
    today: bool
    words: str
    bar: Svg


class HomeWeek(msgspec.Struct, frozen=True, kw_only=True):
    """Monday to Sunday."""

    title: str
    days: list[HomeDay]


class HoursPage(Page, frozen=True, kw_only=True):
    """The field, what may be written, and two weeks of what was."""

    template: ClassVar[str] = "hours.html"
    place: ClassVar[str] = "More"
    why: str
    value: str
    error: str
    examples: tuple[tuple[str, str], ...]
    weeks: list[HomeWeek]
    lines: list[str]
    kept: bool  # what stands below is what is written down


def weeks_of(hours: Hours, today: date) -> list[HomeWeek]:
    """This week and the next."""
    monday = today - timedelta(days=today.weekday())
    found = []
    for n in range(WEEKS):
        days = [monday + timedelta(days=7 * n + d) for d in range(7)]
        title = f"{'Next' if n else 'This'} week (week {days[0].isocalendar().week})"
        found.append(HomeWeek(title=title, days=[_day(hours, d, today) for d in days]))
    return found


def _day(hours: Hours, day: date, today: date) -> HomeDay:
    bar = day_bar(hours.spans_on(day), away=hours.away(day))
    return HomeDay(margin=f"{day:%a} {day.day}", today=day == today, words=home_words(hours, day), bar=bar)


def plain(text: str) -> str:
    """What was typed in lines, parted as the reader parts it."""
    return "; ".join(line.strip(" ;") for line in text.splitlines() if line.strip(" ;"))


def _page(request: Request, text: str | None, fault: BadInput | None = None) -> Response:
    room, now, zone = desk_of(request).room(), now_of(request), str(request.app.state.zone)
    told = room.kit.hours if text is None else text
    hours = None if fault else hours_of(told, now, zone)
    today = day_of(now, zone)
    record = HoursPage(
        title="When can you be at the tanks?", place_line="Kit, your hours",
        why="Courses begin and come again within these hours where the medicine lets them; what falls "
        "outside is said. Not told: at any hour.",
        value=told, error=str(fault) if fault else "", examples=HOURS_EXAMPLES,
        weeks=weeks_of(hours, today) if hours else [], lines=hours_lines(hours, today) if hours else [],
        kept=told == room.kit.hours,
    )  # fmt: skip
    return page(request, record, 422 if fault else 200)


async def show(request: Request) -> Response:
    """The field; with ?hours= what would be understood, before it is kept."""
    if "hours" not in request.query_params:
        return _page(request, None)
    text = plain(request.query_params["hours"])
    try:
        understood(text, now_of(request), str(request.app.state.zone))
    except BadInput as fault:
        return _page(request, text, fault)
    return _page(request, text)


async def write(request: Request) -> Response:
    typed = await read_form(request)
    text = plain(typed.get("hours", ""))
    try:
        border = border_of(request)
        written = border.kit({"hours": text if text and not is_unknown(text) else UNSAID})
    except BadInput as fault:
        return _page(request, text, fault)
    return keep(request, "/kit/hours", *written.entries)


ROUTES = [Route("/kit/hours", show), Route("/kit/hours", write, methods=["POST"])]
