"""Amounts and dates: the number of the page, its ends, the working, the steps, the chances; begun here."""

from __future__ import annotations

from typing import ClassVar
from urllib.parse import urlencode

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.background import Background, Ready
from tankward.desk.by_hand import by_hand, unsaid
from tankward.desk.courses import Wanted, begun, chances_of, propose
from tankward.desk.find import find_tank
from tankward.judge.waterstate import water_state
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.knowledge.plain import plain
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.show.words.after import over_lines
from tankward.show.words.bears import BearsRow, hardest_rows
from tankward.show.words.course import (
    DANGER,
    ChanceSaid,
    Heading,
    bars_title,
    caution_lines,
    chances_said,
    cleared_lines,
    course_name,
    danger_lines,
    entry_steps,
    heading,
    named_steps,
    reach_lines,
    refused_rows,
    refused_says,
    stated_lines,
    strength_line,
    told_lines,
    withheld_lines,
)
from tankward.show.words.course_rows import StepRow, first_rows, later_rows
from tankward.show.words.days import moment_line
from tankward.show.words.label import holds_together, label_rows, label_says
from tankward.show.words.step_parts import Context, published_words
from tankward.show.words.supplies import taken_lines
from tankward.show.words.working import working_rows
from tankward.treat.course.acts import asked_by
from tankward.treat.course.chances import Chances
from tankward.treat.course.records import Course
from tankward.treat.planner.danger import warned
from tankward.treat.planner.records import Score
from tankward.treat.supplies import of_course

from ..course_forms import Change, change_form, pairs_of, people_form, wanted_of, ways_of
from ..frame import Page, desk_of, now_of, page, read_form, see_other
from ..plan_forms import plan_url
from ..what_if import WhatIfTold, proposed_if_told, soon
from .by_hand import hand_ready, not_ticked, score_of


class Label(msgspec.Struct, frozen=True, kw_only=True):
    """The label's own rule, judged."""

    says: str
    rows: list[tuple[str, str, str]]
    together: str
    refused: list[tuple[str, str]]


class CoursePage(Page, frozen=True, kw_only=True):
    """One course, proposed."""

    template: ClassVar[str] = "course.html"
    head: Heading
    name: str
    tank_name: str
    reaches: list[str]
    strength: str
    published: str
    steps: list[dict[str, str]]
    assumes: list[str]
    label: Label | None
    first: list[StepRow]
    later: list[StepRow]
    bears: list[BearsRow]
    chances: list[ChanceSaid]
    rare: list[ChanceSaid]
    chances_title: str
    pending: bool
    chances_pending: bool
    no_chances: str
    withheld: list[str]
    what_if: WhatIfTold | None
    cautions: list[str]
    statement: list[str]
    change: Change
    supplies: list[tuple[str, bool]]  # what it takes of each packet; whether that is not there
    over: list[str]  # how long it is looked for, and who stays
    change_head: str
    hidden: list[tuple[str, str]]
    running: str
    jar_trial: bool
    sheet: str
    calendar: str
    danger: list[str]  # a change by hand made it harm
    hand_url: str  # where its hours and amounts are changed by hand
    plan_url: str


class CourseRefused(Page, frozen=True, kw_only=True):
    """No, and what would make it safe."""

    template: ClassVar[str] = "course_refused.html"
    says: str
    rows: list[tuple[str, str]]
    ways: list[tuple[str, str]]
    ask: Change | None


class CourseAsked(Page, frozen=True, kw_only=True):
    """Something that was typed can't be used; the form stays."""

    template: ClassVar[str] = "course_asked.html"
    says: str
    tank_name: str
    change: Change


async def show(request: Request) -> Response:
    return await _shown(request, wanted_of(request.query_params))


async def _shown(request: Request, wanted: Wanted) -> Response:
    room, now, zone = desk_of(request).room(), now_of(request), str(request.app.state.zone)
    tank = find_tank(room, request.path_params["tank"])
    try:
        course = propose(room, tank.id, wanted, now, zone, load())
    except Refused as no:
        return refused_page(request, tank, wanted, no.reasons)
    except BadInput as fault:
        return _asked(request, room, tank, wanted, fault)
    return page(request, await _record(request, room, tank, wanted, course))


def _asked(request: Request, room: Room, tank: Tank, wanted: Wanted, fault: BadInput) -> Response:
    record = CourseAsked(
        title="Not understood",
        place_line=f"{tank.name}, amounts and dates",
        tank=tank.id,
        tank_name=tank.name,
        says=str(fault),
        change=change_form(
            tank, room, wanted, {wanted.substance}, fault, remedy=plain(wanted.remedy).replace(" ", "_")
        ),
    )
    return page(request, record, 422)


def refused_page(request: Request, tank: Tank, wanted: Wanted, reasons: tuple[Reason, ...]) -> Response:
    """The refused state: the reason as heading, what would make it safe, the way there."""
    record = CourseRefused(
        title=f"No: {refused_says(reasons)}",
        place_line=f"{tank.name}, amounts and dates",
        tank=tank.id,
        says=refused_says(reasons),
        rows=refused_rows(reasons),
        ways=ways_of(tank, wanted, reasons),
        ask=people_form(tank, wanted, reasons),
    )
    return page(request, record, 409)


def chances_ready(request: Request, room: Room, course: Course) -> Ready[Chances]:
    """The chances where they are there; else they are begun and the page comes again."""
    held: Background[Chances] = request.app.state.chances
    now, facts = now_of(request), load()
    question = (desk_of(request).digest, facts.digest, *asked_by(course))
    return held.of(question, lambda: chances_of(course, room, now, facts))


def hand_url(course: Course, wanted: Wanted) -> str:
    """Where its rows are changed by hand; "" for what is no matter of hours and shares."""
    in_tank = course.route == "water_long" and course.place != "tub" and not course.remedy
    pairs = urlencode(pairs_of(wanted))
    return f"/tanks/{course.tank}/course/by-hand?{pairs}" if in_tank or by_hand(wanted) else ""


async def _record(request: Request, room: Room, tank: Tank, wanted: Wanted, course: Course) -> CoursePage:
    now, zone, facts = now_of(request), str(request.app.state.zone), load()
    hand: Ready[Score] = hand_ready(request, room, course, wanted) if by_hand(wanted) else Ready()
    course = warned(course, hand.answer, facts) if hand.answer is not None else course
    c = Context(course=course, facts=facts, kit=room.kit, shelf=room.shelf)
    head = heading(c, tank.name, now, zone)
    ready = chances_ready(request, room, course)
    working = working_of(course, facts)
    said = chances_said(ready.answer, facts) if ready.answer else ([], [])
    running = room.courses.get(tank.id)
    warm = water_state(room, tank.id, now, facts).of("temp_c")
    warm_c, pairs = warm.value if warm else None, pairs_of(wanted)
    asked = await soon(lambda: proposed_if_told(request, room, course, warm_c, pairs, facts))
    actives = {a.substance for d in course.doses[:1] for a in d.actives} | {course.substance}
    return CoursePage(
        title=f"{head.says} {head.amount.short if head.amount else ''}".strip(),
        place_line=f"{tank.name}, {moment_line(now, zone)}", tank=tank.id, tank_name=tank.name, head=head,
        name=course_name(course, facts), reaches=reach_lines(course, facts), strength=strength_line(course),
        published=published_words(c), steps=working[0], assumes=working[1], label=label_of(course, c),
        first=first_rows(c, zone), later=later_rows(c, now, zone), bears=hardest_rows(course.bears, facts),
        chances=said[0],
        rare=said[1],
        chances_title=bars_title(course, now, zone),
        pending=ready.pending or hand.pending or bool(asked and asked.pending), chances_pending=ready.pending,
        what_if=asked, no_chances=ready.fault,
        withheld=[*cleared_lines(ready.answer, facts), *withheld_lines(ready.answer, facts)]
        if ready.answer
        else [],
        cautions=[c for c in caution_lines(course.cautions) if not c.startswith(DANGER)],
        statement=stated_lines(course),
        supplies=taken_lines(of_course(course, room.shelf)),
        over=over_lines(course.causes, course.watch, tank.temp_c, zone, facts),
        change=change_form(tank, room, wanted, actives, None, remedy=course.remedy), hidden=pairs_of(wanted),
        change_head=CHANGE_HEADS.get(course.remedy, "Other hours, other packet"),
        running=running.name if running else "", jar_trial=course.jar_trial,
        sheet=f"/tanks/{tank.id}/sheet.pdf?{urlencode(pairs_of(wanted))}",
        calendar=f"/tanks/{tank.id}/calendar?{urlencode(pairs_of(wanted))}",
        danger=danger_lines(course.cautions), hand_url=hand_url(course, wanted),
        plan_url=plan_url(tank.id, wanted.cause, gone=wanted.gone) if wanted.cause else "",
    )  # fmt: skip


CHANGE_HEADS = {
    "fish_out": "Other hours, other tubs, other days",
    "daily_siphon": "Other hours, other days",
    "wait_and_count": "Other hours, other days",
}
WITHOUT_KINDS = ("tank-empty", "change", "count")


def working_of(course: Course, facts: Facts) -> tuple[list[dict[str, str]], list[str]]:
    """The working of the amount that the page shows large."""
    kinds = WITHOUT_KINDS if course.remedy else ("dose", "bath", "recipe", "heat")
    given = next((s for s in course.steps if s.amount is not None and s.kind in kinds), None)
    answer = given.amount if given is not None else course.level
    return (
        (working_rows(named_steps(answer.how, facts)), list(answer.assumes))
        if answer is not None
        else ([], [])
    )


def label_of(course: Course, c: Context) -> Label | None:
    """The label's own rule against this water."""
    found = course.judged
    if found is None:
        return None
    supply = c.shelf.get(found.supply)
    unit = supply.unit if supply else "packet"
    return Label(
        says=label_says(found, unit, c.facts),
        rows=label_rows(found, c.facts),
        together=holds_together(found, unit, c.facts),
        refused=refused_rows(found.refusals),
    )


async def begin(request: Request) -> Response:
    """Begin it as it stands now; what would be refused now is refused."""
    typed = await read_form(request)
    wanted, said = wanted_of(typed), set(typed.get("danger", "").split(";"))
    desk, now, zone, facts = desk_of(request), now_of(request), str(request.app.state.zone), load()
    room = desk.room()
    tank = find_tank(room, request.path_params["tank"])
    try:
        course = propose(room, tank.id, wanted, now, zone, facts)
        if by_hand(wanted):
            score = await score_of(request, room, course, wanted)
            if unsaid(score, said):
                return not_ticked(request, wanted, said)
            course = warned(course, score, facts)
        c = Context(course=course, facts=facts, kit=room.kit, shelf=room.shelf)
        written = begun(
            room, course, entry_steps(c), course_name(course, facts), now, zone,
            strong=strength_line(course), told=told_lines(course, facts), stated=stated_lines(course),
        )  # fmt: skip
        desk.append(written)
    except Refused as no:
        return refused_page(request, tank, wanted, no.reasons)
    except BadInput as fault:
        return _asked(request, room, tank, wanted, fault)
    return see_other(f"/tanks/{tank.id}#planned")


ROUTES = [
    Route("/tanks/{tank}/course", show),
    Route("/tanks/{tank}/course", begin, methods=["POST"]),
]
