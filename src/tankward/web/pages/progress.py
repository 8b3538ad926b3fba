"""Is it helping: the verdict, what was expected, when it can be told, what to change, when to stop."""

from __future__ import annotations

from datetime import datetime
from typing import ClassVar

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_tank
from tankward.desk.forecasts import planned_of
from tankward.judge.progress import Progress, progress
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.room.replay import Room
from tankward.show.charts.bedside import bedside_views
from tankward.show.charts.records import Chart
from tankward.show.charts.table import ChartTable, chart_table, legend
from tankward.show.drawings.svg import Svg
from tankward.show.progress_chart import progress_chart
from tankward.show.words.days import moment_line
from tankward.show.words.failing import FailRow, fail_rows
from tankward.show.words.progress import (
    ChanceRow,
    SeenRow,
    always,
    chance_rows,
    expected_says,
    progress_heading,
    progress_rows,
    resting_on,
    telling_says,
)
from tankward.show.words.when_to_stop import (
    BackRow,
    back_rows,
    stop_says,
    suffering_says,
    survivor_says,
)
from tankward.treat.helping import Helping

from ..frame import Page, now_of, page
from ..progress import AT_WORK, judged_soon, mark_of

NO_COURSE = "No course runs here"
WORDS = {"caution": "Take care", "unknown": "Not sure yet", "": ""}


class ProgressPage(Page, frozen=True, kw_only=True):
    """How a course is doing."""

    template: ClassVar[str] = "progress.html"
    name: str
    says: str
    why: str
    mark: str
    mark_words: str
    aside: str
    pending: bool
    runs: bool  # a course does
    suffering: list[str]
    chart: Svg | None
    legend: str
    chart_table: ChartTable | None
    chances: list[ChanceRow]
    telling: list[str]
    rows: list[SeenRow]
    always: list[str]
    failing: list[FailRow]
    stop: list[str]
    back: list[BackRow]
    survivors: list[str]
    lines: list[str]


async def show(request: Request) -> Response:
    now, facts = now_of(request), load()
    zone: str = request.app.state.zone
    room = request.app.state.desk.room()
    tank = find_tank(room, request.path_params["tank"])
    heads = progress(room, tank.id, now, facts)
    place = f"{tank.name}, {moment_line(now, zone)}"
    if heads is None:
        return page(request, _bare(tank.id, tank.name, place, f"{NO_COURSE}."))
    ready = await judged_soon(request, room, tank.id, now, facts)
    if ready.answer is None:
        return page(request, _waiting(tank.id, tank.name, place, heads, ready.pending, now, zone, facts))
    return page(request, _told(tank.id, tank.name, place, ready.answer, room, now, zone, facts))


def _bare(tank: str, name: str, place: str, says: str) -> ProgressPage:
    return ProgressPage(
        title=f"{name}: {says}", place_line=place, tank=tank, name=name, says=says, why="", mark="",
        mark_words="", aside="", pending=False, runs=False, suffering=[], chart=None, legend="",
        chart_table=None, chances=[], telling=[], rows=[], always=[], failing=[], stop=[], back=[],
        survivors=[], lines=[],
    )  # fmt: skip


def _waiting(
    tank: str, name: str, place: str, heads: Progress, pending: bool, now: datetime, zone: str, facts: Facts
) -> ProgressPage:
    """What was counted, until it is judged."""
    says = AT_WORK if pending else progress_heading(heads, now, zone)
    return ProgressPage(
        title=f"{name}: {says}", place_line=place, tank=tank, name=name, says=says, why="",
        mark="caution" if heads.worse else "", mark_words=WORDS["caution"] if heads.worse else "",
        aside=f"day {heads.day}", pending=pending, runs=True, suffering=[], chart=None, legend="",
        chart_table=None, chances=[], telling=[], rows=progress_rows(heads, facts, now, zone),
        always=always(heads), failing=[], stop=[], back=[], survivors=[],
        lines=resting_on(heads, None, facts),
    )  # fmt: skip


def _told(
    tank: str, name: str, place: str, answer: Helping, room: Room, now: datetime, zone: str, facts: Facts
) -> ProgressPage:
    found = answer.found
    says = progress_heading(found, now, zone)
    chart = progress_chart(
        found, room, now, zone, facts, says=says, planned=planned_of(room, tank, now, facts)
    )
    drawn = _drawn(chart)
    mark = mark_of(found)
    return ProgressPage(
        title=f"{name}: {says}",
        place_line=place,
        tank=tank,
        name=name,
        says=says,
        why=expected_says(found, facts, now, zone),
        mark=mark,
        mark_words=WORDS[mark],
        aside=f"day {found.day}",
        pending=False,
        runs=True,
        suffering=suffering_says(answer.ending, now, zone, facts),
        chart=drawn[0],
        legend=drawn[1],
        chart_table=drawn[2],
        chances=chance_rows(found.helped, found.course.cause, facts) if found.helped else [],
        telling=telling_says(found, now, zone),
        rows=progress_rows(found, facts, now, zone),
        always=always(found),
        failing=fail_rows(answer.failing, room, facts, answer.next_look),
        stop=stop_says(answer.ending, now, zone),
        back=back_rows(answer.ending, now, zone, facts),
        survivors=survivor_says(answer.ending, now, zone, facts),
        lines=resting_on(found, answer.fits, facts, answer.why_not),
    )


def _drawn(chart: Chart | None) -> tuple[Svg | None, str, ChartTable | None]:
    return (None, "", None) if chart is None else (bedside_views(chart), legend(chart), chart_table(chart))


ROUTES = [Route("/tanks/{tank}/progress", show)]
