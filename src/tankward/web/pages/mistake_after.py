"""After a slip: the acts first, what is in the water now, the curve from what really happened, the plan."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from itertools import groupby
from typing import ClassVar

import msgspec
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
from tankward.room.acts import Dose, Media
from tankward.room.entries.acts import CourseBegun, Step
from tankward.room.entries.notes import Note
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.show.bedside import bedside_chart
from tankward.show.charts.bedside import bedside_views
from tankward.show.charts.table import ChartTable, chart_table, legend
from tankward.show.drawings.svg import Svg
from tankward.show.words.acts import MAIN, ended, group_head, is_dechlorinator
from tankward.show.words.days import clock, day_margin, moment_line
from tankward.show.words.judge import step_ask
from tankward.show.words.mistake import (
    LEFT_BELOW,
    SLIPS,
    after_heading,
    ahead_says,
    level_says,
    level_soft,
    without,
)
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


LATE = "It is late. Give it only once less than a full dose is in the water."
CARBON_OUT = PlanRow(
    title="Before", sub="", head="Take the fresh carbon out before the next dose.", mark="",
    soft="It would take that one too.",
)  # fmt: skip


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


def _late_dose(at: datetime, steps: list[Step], now: datetime) -> bool:
    return at <= now and any(isinstance(s.act, Dose) for s in steps)


def _ahead_words(a: Ahead, facts: Facts) -> str:
    unit = a.published.unit if a.published else "mg/L"
    name = facts.substances[a.substance].names[0]
    return ahead_says(a.before, a.after, unit, name, over=a.lies in ("above", "refused"), full=a.full_already)


class Plan(msgspec.Struct, frozen=True, kw_only=True):
    """The steps from here on, and the doses that are to be left out."""

    rows: tuple[PlanRow, ...] = ()
    leave_out: tuple[str, ...] = ()


def plan_of(room: Room, tank: str, held: Held, now: datetime, zone: str, facts: Facts) -> Plan:
    """What is really done in the steps that are open: changes, doses, baths, food, each hour as one row."""
    run = running(room, tank, now, zone)
    if run is None:
        return Plan()
    ahead = doses_ahead(room, tank, held.forecast, now, facts) if held.forecast and held.fresh else ()
    steps = [s.step for s in run.open if isinstance(s.step.act, MAIN) and not is_dechlorinator(s.step.act)]
    rows = [_hour(at, list(same), ahead, now, zone, facts) for at, same in groupby(steps, key=lambda s: s.at)]
    return Plan(rows=tuple(rows), leave_out=tuple(dict.fromkeys(a.step.id for a in ahead if a.leave_out)))


def _hour(
    at: datetime, steps: list[Step], ahead: Sequence[Ahead], now: datetime, zone: str, facts: Facts
) -> PlanRow:
    """Steps of one hour; of a dose, what is left by then or why it is left out."""
    doses = [a for a in ahead if a.step in steps]
    worst = next((a for a in doses if a.leave_out), doses[0] if doses else None)
    return PlanRow(
        title=day_margin(at, now, zone),
        sub=clock(at, zone),
        head=ended(group_head(steps, facts)),
        soft=_ahead_words(worst, facts) if worst else LATE if _late_dose(at, steps, now) else "",
        mark="caution" if worst and worst.leave_out else "",
    )


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
    plan = plan_of(room, tank.id, held, now, zone, facts)
    carbon = any(s.act == "carbon" for s in steps) and bool(plan.rows)
    warm = state.of("temp_c")
    record = After(
        title=title, place_line=f"{tank.name}, {moment_line(now, zone)}", tank=tank.id,
        now_url=f"/tanks/{tank.id}/now",
        acts=[_act(s, shown(warm.value, "C") if warm else "", levels) for s in steps if s.act != "look"],
        again=f"Look at them again in {found.look_again_min} minutes.",
        levels=[level_row(x, facts) for x in levels],
        chart=chart[0], legend=chart[1], chart_table=chart[2],
        pending=not held.fresh and not held.fault,
        as_of="" if held.fresh or held.forecast is None else clock(held.forecast.now, zone),
        no_forecast=held.fault if held.forecast is None else "",
        plan=[*([CARBON_OUT] if carbon else []), *plan.rows], leave_out=",".join(plan.leave_out),
        tell=[a.says for a in found.ask],
    )  # fmt: skip
    return page(request, record)


def _act(step: UrgentStep, warm: str, levels: Sequence[InIt]) -> Act:
    soft = LEFT_BELOW if step.act == "wait" and levels else act_soft(step, warm)
    return Act(head=act_head(step), soft=soft, ask=step_ask(step))


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
