"""After a slip: the acts first, what is in the water now, the curve from what really happened, the plan."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import ClassVar

from msgspec.structs import replace
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.bears import bears_here
from tankward.desk.doses_ahead import Ahead, doses_ahead
from tankward.desk.examine import told_of
from tankward.desk.find import find_tank
from tankward.desk.forecasts import Held, planned_of
from tankward.desk.in_it_now import InIt, in_it_now
from tankward.desk.running import running, skipped
from tankward.judge.slips import what_now
from tankward.judge.urgent import Told, UrgentStep
from tankward.judge.waterstate import water_state
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.quantities.digits import shown
from tankward.room.acts import Media
from tankward.room.entries.acts import CourseBegun
from tankward.room.entries.notes import Note
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.show.bedside import bedside_chart
from tankward.show.charts.bedside import bedside_views
from tankward.show.charts.table import ChartTable, chart_table, legend
from tankward.show.drawings.svg import Svg
from tankward.show.words.days import clock, moment_line
from tankward.show.words.judge import step_ask
from tankward.show.words.mistake import (
    SLIPS,
    after_heading,
    ahead_says,
    level_says,
    level_soft,
    without,
)
from tankward.show.words.planned import PlannedRow, planned_rows
from tankward.show.words.urgent import act_head, act_soft

from ..frame import Page, desk_of, keep, now_of, page, read_form, see_other
from ..kept import KEPT
from .mistake import Act, slip_of

AT_RISK = ("refused", "care")


class LevelRow(Page, frozen=True, kw_only=True):
    """One medicine in the water now. `title` is what it is, and how strong."""

    soft: str
    mark: str


class PlanRow(Page, frozen=True, kw_only=True):
    """A step from here on; a dose with what it would really make. `title` is its margin."""

    sub: str
    head: str
    soft: str
    mark: str


class After(Page, frozen=True, kw_only=True):
    """What to do now, and what comes then."""

    template: ClassVar[str] = "mistake_after.html"
    place: ClassVar[str] = "Look"
    now_url: str
    acts: list[Act]
    again: str
    levels: list[LevelRow]
    chart: Svg | None
    legend: str
    chart_table: ChartTable | None
    pending: bool
    as_of: str
    no_forecast: str
    plan: list[PlanRow]
    leave_out: str  # ids of the doses that would be too much now
    tell: list[str]


def did_of(slip: str, room: Room, request: Request) -> str:
    """The words by which a slip is known; of something else, what the keeper wrote."""
    ids = request.query_params.get(KEPT, "").split(",")
    notes = [e.text for e in room.log if isinstance(e, Note) and e.id in ids]
    return notes[0] if slip == "something-else" and notes else SLIPS[slip][1]


def out_already(room: Room, tank: str) -> tuple[str, ...]:
    """Acts that the log says are done: a medium that came out is not taken out again."""
    media = [act for _, act in room.acts(tank) if isinstance(act, Media)]
    return ("carbon-out",) if media and not media[-1].into else ()


def settled(slip: str, levels: Sequence[InIt], room: Room, tank: str, request: Request) -> bool:
    """Whether the water is within what is published after all, and nobody who lives there is at risk."""
    if slip != "too-much" or not levels or KEPT not in request.query_params:
        return False
    verdicts = bears_here(room, tank, {x.substance: x.level for x in levels}, load())
    return not any(x.over or not x.lies for x in levels) and not any(v.says in AT_RISK for v in verdicts)


def forecast_of(request: Request, room: Room, tank: str, told: Told, now: datetime) -> Held:
    """The forecast, from everything that is written down now."""
    if told.volume_l is None:
        return Held(forecast=None, fresh=False, fault="How much water it holds is not known.")
    held: Held = request.app.state.forecasts.of(tank, now)
    return held


def charted(
    held: Held, room: Room, tank: str, says: str, now: datetime, zone: str
) -> tuple[Svg, str, ChartTable]:
    """The bedside chart with its legend and its table."""
    assert held.forecast is not None
    course: CourseBegun | None = room.courses.get(tank)
    made = bedside_chart(
        held.forecast, room, load(), says=says, zone=zone, planned=planned_of(room, tank, now),
        causes=(course.cause,) if course and course.cause else (),
    )  # fmt: skip
    chart = replace(made, old=not held.fresh)
    return bedside_views(chart), legend(chart), chart_table(chart)


def level_row(found: InIt, facts: Facts) -> LevelRow:
    unit = found.published.unit if found.published else "mg/L"
    mark = {"refused": "danger", "above": "caution", "": "unknown"}.get(found.lies, "")
    return LevelRow(
        title=level_says(found.substance, found.level, unit, facts),
        soft=level_soft(found.level, unit, found.published, found.thin),
        mark=mark,
    )


def plan_row(row: PlannedRow, ahead: Sequence[Ahead], facts: Facts) -> PlanRow:
    """A step as it is planned; of a dose, what is left by then or why it is left out."""
    doses = [a for a in ahead if a.step.id == row.step] if row.step else []
    worst = next((a for a in doses if a.leave_out), doses[0] if doses else None)
    return PlanRow(
        title=row.margin,
        sub=row.sub,
        head=row.head,
        soft=_ahead_words(worst, facts) if worst else row.how or row.late,
        mark="caution" if worst and worst.leave_out else "",
    )


def _ahead_words(a: Ahead, facts: Facts) -> str:
    unit = next((p.unit for p in (a.published,) if p), "mg/L")
    return ahead_says(a.before, a.after, unit, a.lies, facts.substances[a.substance].names[0])


def plan_rows(
    room: Room, tank: str, held: Held, now: datetime, zone: str, facts: Facts
) -> tuple[list[PlanRow], str]:
    """The steps from here on, and the doses that are to be left out."""
    run = running(room, tank, now, zone)
    if run is None:
        return [], ""
    ahead = doses_ahead(room, tank, held.forecast, now, facts) if held.forecast and held.fresh else ()
    rows, _ = planned_rows(run, now, zone, facts)
    leave = dict.fromkeys(a.step.id for a in ahead if a.leave_out)
    told = [plan_row(r, ahead, facts) for r in rows]
    return told + _unnamed(rows, ahead, zone, facts), ",".join(leave)


def _unnamed(rows: list[PlannedRow], ahead: Sequence[Ahead], zone: str, facts: Facts) -> list[PlanRow]:
    """Doses of days that the plan tells as one row."""
    named = {r.step for r in rows}
    return [
        PlanRow(title=f"{a.step.at:%a} {a.step.at.day}", sub=clock(a.step.at, zone), head="The dose then",
                soft=_ahead_words(a, facts), mark="caution" if a.leave_out else "")
        for a in ahead
        if a.step.id not in named
    ]  # fmt: skip


async def show(request: Request) -> Response:
    facts, now, zone = load(), now_of(request), str(request.app.state.zone)
    room = desk_of(request).room()
    tank = find_tank(room, request.path_params["tank"])
    slip = slip_of(request.path_params["slip"])
    state = water_state(room, tank.id, now, facts)
    told = told_of(room, tank.id, state, now)
    found = what_now((), did_of(slip, room, request), told, facts)
    steps = without(found.steps, out_already(room, tank.id))
    levels = in_it_now(room, tank.id, now, facts, told)
    held = forecast_of(request, room, tank.id, told, now)
    calm = settled(slip, levels, room, tank.id, request)
    steps = without(steps, ("change", "carbon")) if calm else steps
    title = after_heading(slip, steps, calm)
    chart = charted(held, room, tank.id, title, now, zone) if held.forecast else (None, "", None)
    plan, leave = plan_rows(room, tank.id, held, now, zone, facts)
    warm = state.of("temp_c")
    record = After(
        title=title, place_line=f"{tank.name}, {moment_line(now, zone)}", tank=tank.id,
        now_url=f"/tanks/{tank.id}/now",
        acts=[_act(s, shown(warm.value, "C") if warm else "") for s in steps if s.act != "look"],
        again=f"Look at them again in {found.look_again_min} minutes.",
        levels=[level_row(x, facts) for x in levels],
        chart=chart[0], legend=chart[1], chart_table=chart[2],
        pending=not held.fresh and not held.fault,
        as_of="" if held.fresh or held.forecast is None else clock(held.forecast.now, zone),
        no_forecast=held.fault if held.forecast is None else "",
        plan=plan, leave_out=leave, tell=[a.says for a in found.ask],
    )  # fmt: skip
    return page(request, record)


def _act(step: UrgentStep, warm: str) -> Act:
    return Act(head=act_head(step), soft=act_soft(step, warm), ask=step_ask(step))


async def use_plan(request: Request) -> Response:
    """The doses that would be too much now are left out; the rest of the course goes on."""
    typed = await read_form(request)
    desk, now, zone = desk_of(request), now_of(request), str(request.app.state.zone)
    tank: Tank = find_tank(desk.room(), request.path_params["tank"])
    ids = dict.fromkeys(i for i in typed.get("leave-out", "").split(",") if i)
    made = [skipped(desk.room(), tank.id, i, "too much is in the water", now, zone) for i in ids]
    entries = [e for e in made if e is not None]
    where = f"/tanks/{tank.id}#planned"
    return keep(request, where, *entries) if entries else see_other(where)


ROUTES = [
    Route("/tanks/{tank}/mistake/{slip}/after", show),
    Route("/tanks/{tank}/mistake/{slip}/after", use_plan, methods=["POST"]),
]
