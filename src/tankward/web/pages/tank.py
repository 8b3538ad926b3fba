"""Tank: the finding, the bedside chart, what is planned, who lives here, the log."""

from __future__ import annotations

from datetime import datetime
from typing import ClassVar

from msgspec.structs import replace
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.bears import bears_here, in_water
from tankward.desk.desk import Desk
from tankward.desk.examine import Examination, examine_tank, told_of
from tankward.desk.find import find_tank
from tankward.desk.forecasts import Held, planned_of
from tankward.desk.in_it_now import InIt, in_it_now
from tankward.desk.late import late_dose
from tankward.desk.lives import Lives, lives_here
from tankward.desk.running import Running, running
from tankward.judge.verdicts import Verdict
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.quantities.working import Answer
from tankward.room.entries.acts import CourseBegun
from tankward.room.entries.photos import PhotoAdded, PhotoRemoved
from tankward.room.holds import water_of
from tankward.room.replay import Room
from tankward.room.things import Stock, Tank
from tankward.room.treated import treated as courses_given
from tankward.rounds.due import to_close
from tankward.rounds.hold import hold_of
from tankward.rounds.states import state_of
from tankward.rounds.watch import open_watches
from tankward.show.bedside import bedside_chart
from tankward.show.charts.bedside import bedside_views
from tankward.show.charts.table import ChartTable, chart_table, legend
from tankward.show.drawings.svg import Svg
from tankward.show.words.acts import ended, listed, lowered
from tankward.show.words.after import hold_says
from tankward.show.words.bears import bears_mark, bears_why, bears_words, worst_of
from tankward.show.words.course import danger_told
from tankward.show.words.days import clock, day_margin, moment_line
from tankward.show.words.forecast import caution_says
from tankward.show.words.guided import weighed_line
from tankward.show.words.judge import finding_head, finding_why
from tankward.show.words.log import entry_row
from tankward.show.words.mistake import level_soft
from tankward.show.words.overdose import over_head
from tankward.show.words.planned import PlannedRow, planned_rows
from tankward.show.words.room import count, there_words
from tankward.show.words.supplies import rest_lines
from tankward.show.words.tank import Known, Told, tank_finding, thinned
from tankward.show.words.working import working_rows
from tankward.treat.drugs_ahead import works_from
from tankward.treat.supplies import of_steps, short, still_to_give

from ..after import AfterTold, after_told
from ..frame import Page, desk_of, now_of, page
from ..photos import PhotoShown
from ..photos import shown as photos_shown
from ..progress import ProgressTold, progress_told
from ..suspected import Suspected, suspected
from ..what_if import WhatIfTold, soon, what_if_told

LOG_SHOWN = 12
MARKS = {"danger": "danger", "caution": "caution", "unknown": "unknown", "fine": ""}


class Row(Page, frozen=True, kw_only=True):
    """One row of a list. `title` is its margin."""

    head: str
    latin: str = ""
    text: str = ""
    soft: str = ""
    mark: str = ""
    sub: str = ""
    entry: str = ""
    photos: list[PhotoShown] = []


class TankPage(Page, frozen=True, kw_only=True):
    """One tank."""

    template: ClassVar[str] = "tank.html"
    told: Told
    chart: Svg | None
    legend: str
    chart_table: ChartTable | None
    chart_quiet: str
    suspected: list[Suspected]
    what_if: WhatIfTold | None
    pending: bool  # a forecast is being worked out
    as_of: str  # of an older forecast
    no_forecast: str
    forecast_cautions: list[str]
    findings: list[Row]
    in_order: str
    fine: list[Row]
    planned: list[PlannedRow]
    done: list[PlannedRow]
    course: str
    danger: list[str]  # the course was changed by hand into what harms
    ends: bool  # the course is over, and how it ended is asked first
    supplies: list[tuple[str, bool]]  # what the rest of it takes of the shelf; whether that is not enough
    progress: ProgressTold | None
    after: AfterTold | None
    hold: str  # why nothing leaves it
    lives: list[Row]
    water: Answer
    there: str  # what is in it, where a loss was not filled up
    steps: list[dict[str, str]]
    log: list[Row]


def known_of(
    room: Room, tank: Tank, seen: Examination, held: Held, run: Running | None, request: Request
) -> Known:
    """What the heading is made of."""
    over = too_much(room, tank, seen, now_of(request))
    unit = over.published.unit if over and over.published else ""
    now, facts = now_of(request), load()
    course = run.course if run else None
    ph = seen.water.of("ph")
    return Known(
        name=tank.name,
        state=state_of(room, tank.id, now, open_watches(room, now, str(request.app.state.zone), facts)),
        findings=seen.findings,
        gate=seen.gate,
        urgent=seen.urgent,
        ph=ph.value if ph else None,
        next_steps=tuple(s.step for s in run.next) if run else (),
        late=bool(run and run.next and run.next[0].state == "late"),
        thin=thinned(held.forecast, course.substance, _least(course, facts), facts) if course else "",
        forecast=held.forecast,
        over=over_head(over.substance, over.level, unit, facts) if over else "",
        over_why=level_soft(over) if over else "",
    )


def _least(course: CourseBegun, facts: Facts) -> float | None:
    """Of its substance in the water, in the unit of its level; None where nobody knows it."""
    found = works_from(course.substance, (course.cause,), facts)
    return found[0] if found else None


def too_much(room: Room, tank: Tank, seen: Examination, now: datetime) -> InIt | None:
    """A medicine of which more is in the water than anything published; the first, if several."""
    told = told_of(room, tank.id, seen.water, now)
    return next((x for x in in_it_now(room, tank.id, now, load(), told) if x.surely_over), None)


def findings_rows(seen: Examination, *, fine: bool) -> list[Row]:
    """The water first, worst first; what is in order apart."""
    return [
        Row(title="", head=finding_head(f), soft=finding_why(f), mark=MARKS[f.severity])
        for f in seen.findings
        if (f.severity == "fine") is fine
    ]


def in_order(fine: list[Row]) -> str:
    """What was read and is in order, in one line."""
    return f"In order: {listed([lowered(row.head) for row in fine])}." if fine else ""


IN_A_TUB = "In a tub beside the tank"


def lives_row(
    one: Lives,
    verdicts: tuple[Verdict, ...],
    facts: Facts,
    room: Room | None = None,
    now: datetime | None = None,
) -> Row:
    """One group with the hardest that is to be said of it, and what one weighs where it was weighed."""
    verdict = worst_of(verdicts, one.stock.id)
    called = one.stock.name or one.common
    bears = bears_words(verdict, facts) if verdict else ""
    apart = room is not None and one.stock.id in room.apart
    return Row(
        title=count(one.stock.number),
        head=called,
        latin=one.scientific or "kind not known",
        text=". ".join(w for w in (IN_A_TUB if apart else "", bears) if w),
        mark=bears_mark(verdict) if verdict else "",
        soft=bears_why(verdict) if verdict else "",
        sub=weighed_words(one.stock, room, now) if room and now else "",
    )


def weighed_words(stock: Stock, room: Room, now: datetime) -> str:
    """What one weighs, with the day on which it was weighed."""
    weighed = room.weighed.get(stock.id)
    if weighed is None or weighed.one_g != stock.mass_g:
        return ""
    return weighed_line(weighed, stock.stage, (now - weighed.at).total_seconds() / 86400)


def log_rows(desk: Desk, tank: str, now: datetime, zone: str, facts: Facts) -> list[Row]:
    """The last entries, newest first; a photo stands with what it belongs to."""
    room = desk.room()
    here = (e for e in reversed(room.of_tank(tank)) if not isinstance(e, PhotoAdded | PhotoRemoved))
    entries = [e for e in here if e.at <= now][:LOG_SHOWN]
    photos = photos_shown(desk, {e.id for e in entries}, room, facts)
    rows = []
    for e in entries:
        head, soft = entry_row(e, room, facts)
        margin, own = day_margin(e.at, now, zone), photos.get(e.id, [])
        rows.append(Row(title=margin, sub=clock(e.at, zone), head=head, soft=soft, entry=e.id, photos=own))
    return rows


async def show(request: Request) -> Response:
    desk, now, facts = desk_of(request), now_of(request), load()
    zone: str = request.app.state.zone
    room = desk.room()
    tank = find_tank(room, request.path_params["tank"])
    water = water_of(tank, room)
    seen = examine_tank(room, tank.id, now, facts)
    held = (
        Held(forecast=None, fresh=False, fault="without its litres")
        if water.value is None
        else request.app.state.forecasts.of(tank.id, now)
    )
    run = running(room, tank.id, now, zone, facts)
    told = tank_finding(known_of(room, tank, seen, held, run, request), now, zone, facts)
    verdicts = bears_here(
        room, tank.id, in_water(room, tank.id, now, facts, held.forecast), facts, run.course if run else None
    )
    chart = chart_of(room, tank.id, held, told, now, zone, facts)
    fine = findings_rows(seen, fine=True)
    planned = planned_of(room, tank.id, now, facts)
    far = request.app.state.forecasts.far(tank.id, now) if held.forecast is not None else held
    asked = await soon(lambda: what_if_told(request, room, far, planned, facts))
    rows, done = (
        planned_rows(run, now, zone, facts, late_dose(room, run, seen.water, now, facts)) if run else ([], [])
    )
    judged = progress_told(request, room, tank.id, now, zone, facts)
    held_back = hold_of(room, tank.id, now, zone, facts)
    record = TankPage(
        title=f"{tank.name}: {told.says}", place_line=f"{tank.name}, {moment_line(now, zone)}", tank=tank.id,
        told=told, chart=chart[0], legend=chart[1], chart_table=chart[2],
        chart_quiet=chart[3],
        suspected=suspected(room, far, planned, now, zone, facts),
        pending=waits(held) or waits(far) or bool(asked and asked.pending) or bool(judged and judged.pending),
        what_if=asked,
        as_of="" if held.fresh or held.forecast is None else clock(held.forecast.now, zone),
        no_forecast=held.fault if held.forecast is None else "",
        forecast_cautions=cautions_of(held, facts),
        findings=findings_rows(seen, fine=False), in_order=in_order(fine), fine=fine,
        planned=rows, done=done, course=run.course.name if run else "",
        danger=danger_told(run.course) if run else [],
        ends=any(d.kind == "close" and d.tank == tank.id for d in to_close(room, now, zone)),
        supplies=supplies_left(room, tank.id),
        progress=judged,
        after=after_told(room, tank.id, now, zone, facts),
        hold=hold_says(held_back, room, now, zone, facts) if held_back else "",
        lives=[lives_row(one, verdicts, facts, room, now) for one in lives_here(room, tank.id, facts)],
        water=water,
        there=there_words(seen.water.volume_l, seen.water.left),
        steps=working_rows(water.how), log=log_rows(desk, tank.id, now, zone, facts),
    )  # fmt: skip
    return page(request, record)


def supplies_left(room: Room, tank: str) -> list[tuple[str, bool]]:
    """What the rest of a running course takes of each packet, and whether it is not there."""
    lacks = {need.supply: need for where, need in short(room) if where == tank}
    found = courses_given(room, tank)
    needs = of_steps(still_to_give(found[-1]), room.shelf) if found else ()
    return rest_lines(needs, lacks)


def waits(held: Held) -> bool:
    """Whether a newer one is being worked out."""
    return not held.fresh and not held.fault


def cautions_of(held: Held, facts: Facts) -> list[str]:
    """What makes the forecast unsure."""
    return [ended(caution_says(c, facts)) for c in held.forecast.cautions] if held.forecast else []


def chart_of(
    room: Room, tank: str, held: Held, told: Told, now: datetime, zone: str, facts: Facts
) -> tuple[Svg | None, str, ChartTable | None, str]:
    """Drawing, legend, table and what has no strip; an older forecast is drawn as old."""
    found = held.forecast
    if found is None:
        return None, "", None, ""
    course = room.courses.get(tank)
    made = bedside_chart(
        found, room, facts, says=told.says, zone=zone, planned=planned_of(room, tank, now, facts),
        causes=treated(course, facts),
    )  # fmt: skip
    chart = replace(made, old=not held.fresh)
    return bedside_views(chart), legend(chart), chart_table(chart), chart.quiet


def treated(course: CourseBegun | None, facts: Facts) -> tuple[str, ...]:
    """The cause of a course; all that its substance is for where none was named."""
    if course is None or course.cause or course.substance not in facts.substances:
        return (course.cause,) if course and course.cause else ()
    return tuple(c for row in facts.substances[course.substance].regimen for c in row.treats)


ROUTES = [Route("/tanks/{tank}", show)]
