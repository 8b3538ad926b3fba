"""The courses of a plan as the page shows them: words first, the drawings when they are there."""

from __future__ import annotations

from collections.abc import Sequence
from urllib.parse import urlencode

import msgspec
from starlette.requests import Request

from tankward.desk.background import Ready
from tankward.desk.jar_first import jar_first
from tankward.desk.planning import Plans, days_of
from tankward.desk.plans import PlanWish, course_link
from tankward.knowledge.known import Facts
from tankward.model.result import Forecast
from tankward.room.replay import Room
from tankward.show.charts.records import Chart
from tankward.show.charts.table import ChartTable, chart_table, legend
from tankward.show.drawings.svg import Svg
from tankward.show.plan_charts import Drawn, plan_charts, plan_views
from tankward.show.words.acts import ended
from tankward.show.words.course import (
    caution_lines,
    entry_steps,
    reach_lines,
    refused_says,
    stated_lines,
)
from tankward.show.words.course_rows import first_rows, later_rows
from tankward.show.words.plan import gives_up, letter, loss_words, planned_name
from tankward.show.words.plan_page import (
    DRAWING,
    TUB_DRAWN,
    Measure,
    best_heading,
    chart_says,
    measures_of,
    summary_words,
    then_words,
)
from tankward.show.words.step_parts import Context
from tankward.treat.planner.records import Plan, Planned

from .course_forms import pairs_of, wanted_of
from .frame import now_of
from .pages.by_hand import known_sound

WATER = "water_long"  # what leaches out of a food is not held against levels for the water


class PlannedTold(msgspec.Struct, frozen=True, kw_only=True):
    """One course of the plan."""

    letter: str
    name: str
    best: str
    summary: str
    measures: list[Measure]
    gives_up: list[str]
    losses: list[str]
    reaches: list[str]
    cautions: list[str]
    stated: list[str]
    steps: list[tuple[str, str, str]]
    then: list[str]
    jar: str
    hidden: list[tuple[str, str]]
    course_url: str
    hand_url: str
    drawing: str  # said while it is not drawn yet
    chart: Svg | None
    table: ChartTable | None
    quiet: str
    chart_note: str
    not_drawn: str


def planned_told(
    request: Request, plan: Plan, room: Room, wish: PlanWish, facts: Facts
) -> tuple[list[PlannedTold], str]:
    """Each course, and the legend of their drawings."""
    ready = _forecasts(request, plan)
    charts = _charts(request, plan, ready, room, facts)
    told = [
        _told(request, p, plan, room, wish, facts, ready[n], charts.get(n))
        for n, p in enumerate(plan.courses)
    ]
    first = next(iter(charts.values()), None)
    return told, legend(first) if first is not None else ""


def _forecasts(request: Request, plan: Plan) -> list[Ready[Forecast]]:
    """One after another beside the page; all look as far ahead as the longest course."""
    plans: Plans = request.app.state.plans
    days = days_of([p.course for p in plan.courses], plan.now)
    return [plans.drawn(p.course, plan.now, days) for p in plan.courses]


def _charts(
    request: Request, plan: Plan, ready: Sequence[Ready[Forecast]], room: Room, facts: Facts
) -> dict[int, Chart]:
    """By the number of the course; none before all are there, because they have one scale."""
    if any(r.pending for r in ready):
        return {}
    zone, found = str(request.app.state.zone), {}
    for n, (one, planned) in enumerate(zip(ready, plan.courses, strict=True)):
        if one.answer is not None:
            said = entry_steps(Context(course=planned.course, facts=facts, kit=room.kit, shelf=room.shelf))
            found[n] = Drawn(
                says=chart_says(planned, plan, letter(planned, plan), zone, facts),
                forecast=one.answer,
                acts=tuple((s.at, s.act) for s in said.values() if not s.tub),
                causes=planned.course.causes if planned.course.route == WATER else (),
            )
    return dict(zip(found, plan_charts(list(found.values()), room, facts, zone), strict=True))


def _told(
    request: Request, planned: Planned, plan: Plan, room: Room, wish: PlanWish, facts: Facts,
    ready: Ready[Forecast], chart: Chart | None,
) -> PlannedTold:  # fmt: skip
    course, zone, now = planned.course, str(request.app.state.zone), now_of(request)
    c = Context(course=course, facts=facts, kit=room.kit, shelf=room.shelf)
    wanted = wanted_of(course_link(planned, wish))
    jars = jar_first(course)
    if planned.shape and planned.score.sound:
        known_sound(request, course.tank, wanted, planned.score)
    there = chart is not None
    return PlannedTold(
        letter=letter(planned, plan),
        name=planned_name(planned, facts),
        best=best_heading(planned),
        summary=summary_words(planned, plan, zone, facts),
        measures=measures_of(planned, plan, zone, facts),
        gives_up=gives_up(planned, plan, facts),
        losses=[loss_words(loss) for loss in planned.losses],
        reaches=reach_lines(course, facts),
        cautions=caution_lines(course.cautions),
        stated=stated_lines(course),
        steps=[(r.margin, r.sub, r.head) for r in (*first_rows(c, zone), *later_rows(c, now, zone))],
        then=then_words(planned, now, zone, facts),
        jar=refused_says(jars) if jars else "",
        hidden=pairs_of(wanted),
        course_url=_to(course.tank, "course", pairs_of(wanted)),
        hand_url=_to(course.tank, "course/by-hand", pairs_of(wanted)) if planned.shape else "",
        drawing="" if there or ready.fault else DRAWING,
        chart=plan_views(chart) if chart is not None else None,
        table=chart_table(chart) if chart is not None else None,
        quiet=chart.quiet if chart is not None else "",
        chart_note=TUB_DRAWN if course.place == "tub" and there else "",
        not_drawn=ended(ready.fault) if ready.fault else "",
    )


def _to(tank: str, way: str, pairs: list[tuple[str, str]]) -> str:
    return f"/tanks/{tank}/{way}?{urlencode(pairs)}"
