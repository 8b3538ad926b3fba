"""A course changed by hand: its rows, and what each change would do, judged in place."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import datetime
from typing import ClassVar
from urllib.parse import urlencode

import msgspec
from msgspec.structs import replace
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.background import Background, Ready
from tankward.desk.by_hand import dangers_of, full_dose, goal_day, judged
from tankward.desk.courses import Wanted, propose, start_of
from tankward.desk.find import find_tank
from tankward.desk.hand_rows import read_rows, rows_of, said_at, said_dose, said_share, shape_with
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, BadInputs, Reason, Refused
from tankward.quantities.parse import quantity
from tankward.room.hours import hours_of
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.room.time import add_hours, moment
from tankward.show.words.by_hand import (
    AT,
    MUCH,
    TICK_FIRST,
    WHY,
    DangerSaid,
    danger_rows,
    full_words,
    hand_heading,
    held_lines,
    row_head,
    verdict_words,
)
from tankward.show.words.course import refused_rows
from tankward.show.words.days import moment_line
from tankward.show.words.plan_page import Measure, score_measures
from tankward.treat.course.records import Course, DosePlan
from tankward.treat.course.shape import Shape, shape_of
from tankward.treat.course.shape_from import shape_from
from tankward.treat.planner.records import Score

from ..course_forms import pairs_of, wanted_of
from ..fields import Shown
from ..frame import Page, desk_of, now_of, page, see_other

FIELDS = ("feed", "ends", "warm")


class HandRow(msgspec.Struct, frozen=True, kw_only=True):
    """One row that can be changed."""

    number: int
    head: str
    at: Shown
    much: Shown | None


class HandPage(Page, frozen=True, kw_only=True):
    """The rows, the checks, and the way to begin."""

    template: ClassVar[str] = "by_hand.html"
    why: str
    fault: str
    rows: list[HandRow]
    full: str
    more: list[Shown]
    doses: bool
    hidden: list[tuple[str, str]]
    pending: bool
    refused: list[tuple[str, str]]
    verdict: tuple[str, str]
    dangers: list[DangerSaid]
    said: list[str]
    unsaid: str
    held: list[str]
    measures: list[Measure]
    not_judged: str
    running: str
    course_url: str
    plan_url: str


class Given(msgspec.Struct, frozen=True, kw_only=True):
    """What is changed, and what it is measured by."""

    room: Room
    tank: Tank
    wanted: Wanted
    shape: Shape
    start: datetime
    full: DosePlan | None
    unit: str


def hand_ready(request: Request, room: Room, course: Course, wanted: Wanted) -> Ready[Score]:
    """What it would do, where that is there; else it is begun."""
    held: Background[Score] = request.app.state.by_hand
    now, facts = now_of(request), load()
    return held.of(asked_of(request, course.tank, wanted), lambda: judged(room, course, now, facts))


def known_sound(request: Request, tank: str, wanted: Wanted, score: Score) -> None:
    """A course that a plan found was judged by it already."""
    held: Background[Score] = request.app.state.by_hand
    held.of(asked_of(request, tank, wanted), lambda: score)


def asked_of(request: Request, tank: str, wanted: Wanted) -> tuple[str, str, str, Wanted]:
    return desk_of(request).digest, load().digest, tank, wanted


async def score_of(request: Request, room: Room, course: Course, wanted: Wanted) -> Score:
    """The same, waited for."""
    ready = hand_ready(request, room, course, wanted)
    if ready.answer is not None:
        return ready.answer
    return await run_in_threadpool(judged, room, course, now_of(request), load())


def _given(request: Request, wanted: Wanted) -> Given | None:
    """None where this course can't be said as rows."""
    room, now, zone, facts = desk_of(request).room(), now_of(request), str(request.app.state.zone), load()
    tank = find_tank(room, request.path_params["tank"])
    full = full_dose(room, tank.id, wanted, now, zone, facts)
    start = start_of(wanted.start, hours_of(room.kit.hours, now, zone), now, zone)
    if wanted.shape:
        shape: Shape | None = shape_of(wanted.shape)
        wanted = replace(wanted, start=start.isoformat())
    else:
        course = propose(room, tank.id, wanted, now, zone, facts)
        shape, start = shape_from(course, full), course.start
        wanted = replace(wanted, start=start.isoformat(), shape=shape.text if shape else "")
    if shape is None:
        return None
    supply = room.shelf.get(wanted.supply) or _supply(room, full)
    return Given(
        room=room, tank=tank, wanted=wanted, shape=shape, start=start, full=full,
        unit=supply.unit if supply else "packet",
    )  # fmt: skip


def _supply(room: Room, full: DosePlan | None):  # type: ignore[no-untyped-def]
    """The packet that a whole dose is counted in, by its actives."""
    actives = {a.substance for a in full.actives} if full else set()
    return next((s for s in room.shelf.values() if {a.substance for a in s.actives} == actives), None)


async def show(request: Request) -> Response:
    """The rows; with fields of the form first the shape that they make."""
    query = request.query_params
    wanted = wanted_of(query)
    try:
        given = _given(request, wanted)
    except Refused:
        return see_other(_to(request, "course", wanted))
    if given is None:
        return see_other(_to(request, "course", wanted))
    if not wanted.shape:
        return see_other(_to(request, "course/by-hand", given.wanted))
    if "rows" in query:
        return _edited(request, given, query)
    return page(request, _page(request, given))


def _to(request: Request, way: str, wanted: Wanted) -> str:
    return f"/tanks/{request.path_params['tank']}/{way}?{urlencode(pairs_of(wanted))}"


def _edited(request: Request, given: Given, typed: Mapping[str, str]) -> Response:
    """The shape that was typed, as an address of its own; a fault stays beside its field."""
    now, zone = now_of(request), str(request.app.state.zone)
    try:
        rows = read_rows(typed, given.shape, given.start, given.full, given.unit, now, zone)
        like = _like(given.shape, typed)
        shape, start = shape_with(rows, given.start, _ends(given, typed, now, zone), like)
    except BadInput as fault:
        return page(request, _page(request, given, typed=typed, fault=fault), 422)
    wanted = replace(given.wanted, shape=shape.text, start=start.isoformat())
    return see_other(_to(request, "course/by-hand", wanted))


def _like(shape: Shape, typed: Mapping[str, str]) -> Shape:
    """Food and warmth as they were typed."""
    feed, warm = typed.get("feed", "").strip(), typed.get("warm", "").strip()
    if feed and feed != said_share(shape.feed):
        shape = replace(shape, feed=quantity(feed, "share", "feed").value)
    if warm and shape.warm_c is not None:
        shape = replace(shape, warm_c=quantity(warm, "temperature", "warm").value)
    return shape


def _ends(given: Given, typed: Mapping[str, str], now: datetime, zone: str) -> datetime:
    ends, text = add_hours(given.start, given.shape.end_h), typed.get("ends", "").strip()
    return ends if not text or text == said_at(ends, zone) else moment(text, now, zone, "ends").at


def _page(
    request: Request, given: Given, *, typed: Mapping[str, str] | None = None, fault: BadInput | None = None,
    said: Collection[str] = (), unsaid: str = "",
) -> HandPage:  # fmt: skip
    now, zone, facts = now_of(request), str(request.app.state.zone), load()
    errors = _errors(fault)
    course, refused, wrong = _course(request, given, now, zone, facts)
    ready: Ready[Score] = (
        hand_ready(request, given.room, course, given.wanted) if course is not None else Ready()
    )
    score, running = ready.answer, given.room.courses.get(given.tank.id)
    shown = {"at", "shape"} & errors.keys()
    dangers = danger_rows(score, dangers_of(score), facts) if score else []
    return HandPage(
        title=hand_heading(course, given.wanted.substance, given.tank.name, facts),
        place_line=f"{given.tank.name}, {moment_line(now, zone)}", tank=given.tank.id, why=WHY,
        fault=" ".join(errors[k] for k in sorted(shown)) or wrong,
        rows=_rows(given, typed or {}, errors, now, zone),
        full=full_words(said_dose(1.0, given.full, given.unit) if given.full else ""),
        more=_more(given, typed or {}, errors, zone), doses=given.full is not None,
        hidden=pairs_of(given.wanted), pending=ready.pending, refused=refused_rows(refused),
        verdict=verdict_words(dangers, bool(refused), ready.pending, score is not None), dangers=dangers,
        said=list(said), unsaid=unsaid,
        held=held_lines(score, facts) if score else [],
        measures=_measures(given, score, course, now, zone, facts) if score and course else [],
        not_judged=ready.fault, running=running.name if running else "",
        course_url=_to(request, "course", given.wanted),
        plan_url=f"/tanks/{given.tank.id}/plan?{urlencode({'cause': given.wanted.cause})}"
        if given.wanted.cause else "",
    )  # fmt: skip


def _measures(
    given: Given, score: Score, course: Course, now: datetime, zone: str, facts: Facts
) -> list[Measure]:
    by = goal_day(given.room, course, now, facts)
    return score_measures(score, course, course.causes, by, now, zone, facts)


def _course(
    request: Request, given: Given, now: datetime, zone: str, facts: Facts
) -> tuple[Course | None, tuple[Reason, ...], str]:
    """The course of these rows, or why it is none."""
    try:
        return propose(given.room, given.tank.id, given.wanted, now, zone, facts), (), ""
    except Refused as no:
        return None, no.reasons, ""
    except BadInput as fault:
        return None, (), str(fault)


def _errors(fault: BadInput | None) -> dict[str, str]:
    faults = fault.faults if isinstance(fault, BadInputs) else (fault,) if fault is not None else ()
    return {f.field: str(f) for f in faults}


def _rows(
    given: Given, typed: Mapping[str, str], errors: Mapping[str, str], now: datetime, zone: str
) -> list[HandRow]:
    found = []
    for n, row in enumerate(rows_of(given.shape, given.start)):
        amount = (
            said_share(row.share) if row.kind == "change" else said_dose(row.share, given.full, given.unit)
        )
        much = None if row.kind == "siphon" else _field(f"much-{n}", MUCH[row.kind], amount, typed, errors)
        found.append(
            HandRow(
                number=n,
                head=row_head(row.kind, row.at, row.share, amount, now, zone),
                at=_field(f"at-{n}", AT, said_at(row.at, zone), typed, errors),
                much=much,
            )
        )
    return found


def _more(given: Given, typed: Mapping[str, str], errors: Mapping[str, str], zone: str) -> list[Shown]:
    shape, ends = given.shape, add_hours(given.start, given.shape.end_h)
    found = [
        _field("feed", "Food, of the usual", said_share(shape.feed), typed, errors),
        _field("ends", "It ends", said_at(ends, zone), typed, errors),
    ]
    if shape.warm_c is not None:
        found.append(_field("warm", "The water at", f"{shape.warm_c:g} C", typed, errors))
    return found


def _field(name: str, label: str, value: str, typed: Mapping[str, str], errors: Mapping[str, str]) -> Shown:
    return Shown(name=name, label=label, value=typed.get(name, value), error=errors.get(name, ""))


def not_ticked(request: Request, wanted: Wanted, said: Collection[str]) -> Response:
    """The same page where a danger was not ticked."""
    given = _given(request, wanted)
    if given is None:
        return see_other(_to(request, "course", wanted))
    return page(request, _page(request, given, said=said, unsaid=TICK_FIRST), 409)


ROUTES = [Route("/tanks/{tank}/course/by-hand", show)]
