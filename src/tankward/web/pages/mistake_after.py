"""After a slip: the acts first, what is in the water now, the curve from what really happened, the plan."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from itertools import groupby
from typing import ClassVar
from urllib.parse import urlencode

import msgspec
from msgspec.structs import replace
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.doses_ahead import Ahead, doses_ahead
from tankward.desk.find import find_tank
from tankward.desk.forecasts import Held, planned_of
from tankward.desk.running import running, skipped
from tankward.desk.slip_ticks import entries_of, off_everywhere, ticks
from tankward.desk.what_now import Now, Slip, what_now_in
from tankward.judge.slips import slips_in
from tankward.judge.urgent import Told, UrgentStep
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.quantities.digits import shown
from tankward.room.acts import Dose
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
from tankward.show.words.mend_parts import Here
from tankward.show.words.mending import mend_said
from tankward.show.words.mistake import after_heading, ahead_says, level_says, level_soft
from tankward.show.words.urgent import act_below, act_head, act_soft
from tankward.show.words.working import working_rows
from tankward.treat.mend.inside import InIt
from tankward.treat.mend.steps import ElseWhere

from ..border import border_of
from ..frame import Page, desk_of, keep, now_of, page, read_form, see_other
from ..kept import KEPT
from ..power_first import FirstRow, tanks_first
from .mistake import ELSE, Act, slip_of

EVERYWHERE = "everywhere"
DANGERS = ("move", "dry-off", "dechlorinate")


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
    first: list[FirstRow]  # which tank comes first without power
    lasting: str  # those that last the night
    first_pending: bool
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
    put_right: str


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
        held.forecast, room, load(), says=says, zone=zone, planned=planned_of(room, tank, now, load()),
        causes=(course.cause,) if course and course.cause else (),
    )  # fmt: skip
    chart = replace(made, old=not held.fresh)
    return bedside_views(chart), legend(chart), chart_table(chart)


def level_row(found: InIt, facts: Facts) -> LevelRow:
    mark = {"refused": "danger", "above": "caution", "": "unknown"}.get(found.lies, "")
    harmed = "danger" if found.harmed.rows else mark
    return LevelRow(
        title=level_says(found.substance, found.level, found.unit, facts),
        soft=level_soft(found),
        mark=harmed,
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
    run = running(room, tank, now, zone, load())
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


def slips_of(request: Request, slip: str, room: Room) -> list[Slip]:
    """The slip of this page; of something else, what the keeper wrote down in his own words."""
    step, other, note = (request.query_params.get(k, "") for k in ("step", "without", "note"))
    text = next((e.text for e in room.log if isinstance(e, Note) and e.id == note), "")
    if slip == ELSE and text:
        return [Slip(slip=s) for s in slips_in(text)]
    return [Slip(slip=slip, step=step, other=other)]


class Worked(msgspec.Struct, frozen=True, kw_only=True):
    """What to do now in this tank, and the words that go with it."""

    now: Now
    room: Room
    tank: Tank
    here: Here
    slip: str


def worked_of(request: Request) -> Worked:
    """What to do now, worked out from what is written down."""
    facts, now, zone = load(), now_of(request), str(request.app.state.zone)
    desk = desk_of(request)
    room = desk.room()
    tank = find_tank(room, request.path_params["tank"])
    slip = slip_of(request.path_params["slip"])
    found = what_now_in(
        room, tank.id, slips_of(request, slip, room), now, zone, facts, entries=desk.entries()
    )
    return Worked(now=found, room=room, tank=tank, here=Here(facts=facts, now=now, zone=zone), slip=slip)


async def show(request: Request) -> Response:
    """The acts first; the curve does not hold them up."""
    w = worked_of(request)
    room, tank, facts, now, zone = w.room, w.tank, w.here.facts, w.here.now, w.here.zone
    held = forecast_of(request, room, tank.id, w.now.told, now)
    steps = w.now.urgent.steps
    title = after_heading(w.slip, steps, w.now.calm, w.here)
    first = tanks_first(request, room, tank.id, w.slip, now)
    chart = charted(held, room, tank.id, title, now, zone) if held.forecast else (None, "", None)
    plan = plan_of(room, tank.id, held, now, zone, facts)
    carbon = any(s.act == "carbon" for s in steps) and bool(plan.rows)
    record = After(
        title=title, place_line=f"{tank.name}, {moment_line(now, zone)}", tank=tank.id,
        now_url=f"/tanks/{tank.id}/now",
        acts=[_act(s, w, at) for at, s in enumerate(steps) if s.act != "look"],
        again=f"Look at them again in {w.now.urgent.look_again_min} minutes.",
        first=first.rows, lasting=first.lasting, first_pending=first.pending,
        levels=[level_row(x, facts) for x in w.now.inside],
        chart=chart[0], legend=chart[1], chart_table=chart[2],
        pending=(not held.fresh and not held.fault) or first.pending,
        as_of="" if held.fresh or held.forecast is None else clock(held.forecast.now, zone),
        no_forecast=held.fault if held.forecast is None else "",
        plan=[*([CARBON_OUT] if carbon else []), *plan.rows], leave_out=",".join(plan.leave_out),
        tell=[a.says for a in w.now.urgent.ask],
        put_right=f"/tanks/{tank.id}/mistake/{w.slip}?more=open",
    )  # fmt: skip
    return page(request, record)


def _act(step: UrgentStep, w: Worked, at: int) -> Act:
    """An act in words, with what ticks it off where it is an entry."""
    warm = shown(w.tank.temp_c.value, "C") if w.tank.temp_c else ""
    said = mend_said(step, w.here)
    amount = step.amount
    return Act(
        head=said.head if said else act_head(step),
        soft=said.soft if said else act_soft(step, warm, w.room.kit),
        more=list(said.more) if said else [below] if (below := act_below(step)) else [],
        url=f"/tanks/{step.of.tank}" if isinstance(step.of, ElseWhere) else "",
        ask=step_ask(step),
        when=w.here.when(step.at) if step.at is not None else "",
        danger=step.act in DANGERS,
        how=working_rows(amount.how) if amount is not None and amount.how else [],
        done=f"{step.act}.{at}" if ticks(step) is not None else "",
    )


async def use_plan(request: Request) -> Response:
    """An act is done, or the doses that would be too much now are left out: written down."""
    typed = await read_form(request)
    if typed.get("done"):
        return _everywhere(request) if typed["done"] == EVERYWHERE else _ticked(request, typed["done"])
    desk, now, zone = desk_of(request), now_of(request), str(request.app.state.zone)
    tank: Tank = find_tank(desk.room(), request.path_params["tank"])
    ids = dict.fromkeys(i for i in typed.get("leave-out", "").split(",") if i)
    made = [skipped(desk.room(), tank.id, i, "too much is in the water", now, zone) for i in ids]
    entries = [e for e in made if e is not None]
    where = f"/tanks/{tank.id}#planned"
    return keep(request, where, *entries) if entries else see_other(where)


def _everywhere(request: Request) -> Response:
    """The power is off in every tank in which somebody lives, since it is here."""
    now, room = now_of(request), desk_of(request).room()
    tank = find_tank(room, request.path_params["tank"]).id
    entries = off_everywhere(room, tank, now, border_of(request).made)
    back = _back(request)
    return keep(request, back, *entries) if entries else see_other(back)


def _back(request: Request) -> str:
    """This page, without what was kept before."""
    kept = [(k, v) for k, v in request.query_params.multi_items() if k != KEPT]
    return f"{request.url.path}?{urlencode(kept)}" if kept else request.url.path


def _ticked(request: Request, word: str) -> Response:
    """One act done just now. The list is made again: a second touch finds it gone, and writes nothing."""
    w = worked_of(request)
    act, _, at = word.partition(".")
    steps = w.now.urgent.steps
    step = steps[int(at)] if at.isdecimal() and int(at) < len(steps) else None
    back = _back(request)
    if step is None or step.act != act:
        return see_other(back)
    entries = entries_of(step, border_of(request), w.tank.id)
    return keep(request, back, *entries) if entries else see_other(back)


ROUTES = [
    Route("/tanks/{tank}/mistake/{slip}/after", show),
    Route("/tanks/{tank}/mistake/{slip}/after", use_plan, methods=["POST"]),
]
