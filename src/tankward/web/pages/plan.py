"""Plan: what is wished, the search with its true progress, and the few courses that are each the best."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import ClassVar

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_tank
from tankward.desk.lives import lives_here
from tankward.desk.planning import Coming, Plans
from tankward.desk.plans import PlanWish, wishes_of
from tankward.desk.remedy import causes_named
from tankward.desk.spared import spared
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.room.holds import water_of
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.show.words.acts import ended, upper
from tankward.show.words.days import moment_line
from tankward.show.words.plan import each_once, left_alone_words, packet_words, plan_heading, searched_words
from tankward.show.words.plan_page import (
    StageTold,
    ask_heading,
    first_words,
    found_why,
    looking_heading,
    packet_mark,
    stage_told,
    unread_words,
)
from tankward.show.words.plan_wishes import BORNE_WHY, wish_words
from tankward.treat.planner.records import Plan

from ..frame import Page, desk_of, now_of, page, see_other
from ..plan_forms import FIND, WishForm, wish_form, wish_of
from ..planned import PlannedTold, planned_told
from .options import ClosedRow, closed_rows


class WhyNot(msgspec.Struct, frozen=True, kw_only=True):
    """Why there is no course, the smallest change that would make one possible, and the way there."""

    because: str
    change: str
    words: str
    url: str


class PlanPage(Page, frozen=True, kw_only=True):
    """The wishes; while it is searched how far it is; then the courses beside each other."""

    template: ClassVar[str] = "plan.html"
    why: str
    form: WishForm
    form_open: bool
    fault: str
    refused: str
    borne_why: str
    wished: str
    pending: bool
    searching: bool
    stages: list[StageTold]
    first: str
    courses: list[PlannedTold]
    legend: str
    packets: list[tuple[str, str]]
    alone: str
    searched: str
    closed: list[ClosedRow]
    reasons: list[WhyNot]
    running: str
    no_plan: str
    unread: str  # what a reading would open
    options_url: str


def _blank(tank: Tank, title: str, now: datetime, zone: str, form: WishForm, options: str) -> PlanPage:
    return PlanPage(
        title=title, place_line=f"{tank.name}, {moment_line(now, zone)}", tank=tank.id, why="", form=form,
        form_open=True, fault="", refused="", borne_why=BORNE_WHY, wished="", pending=False, searching=False,
        stages=[], first="", courses=[], legend="", packets=[], alone="", searched="", closed=[], reasons=[],
        running="", no_plan="", unread="", options_url=options,
    )  # fmt: skip


async def show(request: Request) -> Response:
    """The wishes; with ?find= the plan. Without a cause the way goes to what it may be."""
    desk, now, facts, zone = desk_of(request), now_of(request), load(), str(request.app.state.zone)
    room = desk.room()
    tank = find_tank(room, request.path_params["tank"])
    query = request.query_params
    if not query.get("cause", "").strip():
        return see_other(f"/tanks/{tank.id}/causes")
    causes = causes_named([query["cause"]], facts)
    wish = wish_of(query, query.getlist("spare"))
    running = room.courses.get(tank.id)
    options = f"/tanks/{tank.id}/options?cause={','.join(causes)}"

    def blank(fault: BadInput | None = None) -> PlanPage:
        form = wish_form(tank.id, query, wish, room.kit.hours, lives_here(room, tank.id, facts), fault)
        made = _blank(tank, ask_heading(causes, tank.name, facts), now, zone, form, options)
        return msgspec.structs.replace(made, running=running.name if running else "")

    if FIND not in query:
        return page(request, _asked(blank(), room, tank))
    try:
        wishes = wishes_of(wish, room, now, zone)
        spared(wishes.spare, room, tank.id, facts)
    except BadInput as fault:
        return page(request, msgspec.structs.replace(blank(fault), fault=str(fault)), 422)
    except Refused as no:
        return page(request, _refused(blank(), no), 409)
    if water_of(tank, room).value is None:
        return page(request, _asked(blank(), room, tank), 422)
    plans: Plans = request.app.state.plans
    coming = plans.of(tank.id, wish, now, zone)
    names = {s.id: s.name or s.kind.replace("_", " ") for s in room.stock_of(tank.id)}
    record = msgspec.structs.replace(blank(), form_open=False, wished=wish_words(wishes, names))
    if coming.plan is None:
        return page(request, _searching(record, coming, causes, tank, now, zone, facts))
    return page(request, _found(request, record, coming.plan, room, tank, wish, facts))


def _asked(record: PlanPage, room: Room, tank: Tank) -> PlanPage:
    if water_of(tank, room).value is not None:
        return record
    return msgspec.structs.replace(
        record,
        no_plan=f"How much water {tank.name} holds isn't known: without its litres nothing can be planned.",
    )


def _refused(record: PlanPage, no: Refused) -> PlanPage:
    reason = no.reasons[0]
    return msgspec.structs.replace(
        record,
        title=ended(upper(reason.because)),
        refused=f"Would change: {ended(reason.would_change)}" if reason.would_change else "No.",
    )


def _searching(
    record: PlanPage, coming: Coming, causes: tuple[str, ...], tank: Tank, now: datetime, zone: str,
    facts: Facts,
) -> PlanPage:  # fmt: skip
    return msgspec.structs.replace(
        record,
        title=looking_heading(causes, tank.name, facts),
        pending=coming.pending,
        searching=coming.pending,
        stages=[stage_told(s.name, s.done, s.of) for s in coming.stages],
        first=first_words(coming.first, now, zone, facts) if coming.first else "",
        no_plan=ended(coming.fault) if coming.fault else "",
    )


def _found(
    request: Request, record: PlanPage, plan: Plan, room: Room, tank: Tank, wish: PlanWish, facts: Facts
) -> PlanPage:
    courses, legend = planned_told(request, plan, room, wish, facts)
    alone = left_alone_words(plan, facts)
    return msgspec.structs.replace(
        record,
        title=plan_heading(plan, tank.name, facts),
        why=found_why(plan, facts),
        unread=unread_words(plan),
        pending=any(c.drawing for c in courses),
        courses=courses,
        legend=legend,
        packets=[(packet_mark(p.planned), packet_words(p, plan, facts)) for p in plan.packets],
        alone=alone,
        searched=searched_words(plan),
        closed=closed_rows(plan.ruled_out, facts, {}),
        reasons=_reasons(each_once(plan.nothing), tank.id, request.query_params),
    )


def _reasons(reasons: Sequence[Reason], tank: str, query: Mapping[str, str]) -> list[WhyNot]:
    """In their order, each with the way to its smallest change."""
    found = []
    for reason in reasons:
        words, url = way_there(reason, tank)
        found.append(
            WhyNot(
                because=ended(upper(reason.because)),
                change=ended(upper(reason.would_change)) if reason.would_change else "",
                words=words,
                url=url,
            )
        )
    return found


READ = ("water", "passes-nh3", "passes-nitrite", "passes-oxygen", "passes-ph", "not-known")
WISHED = ("hours-or-level", "not-at-home", "no-medicine", "place", "may-hurt")


def way_there(reason: Reason, tank: str) -> tuple[str, str]:
    """Where the smallest change is made."""
    if reason.kind.startswith(READ) or "read" in reason.would_change.lower().split():
        return "Write down a reading", f"/tanks/{tank}/log/reading"
    if reason.kind in WISHED:
        return "Ask again otherwise", "#wishes"
    if reason.kind == "not-on-shelf" or reason.kind.startswith("use-"):
        return "To the shelf", "/shelf"
    if "tub" in reason.would_change:
        return "Work out a tub for them", f"/tanks/{tank}/tub"
    if "moved" in reason.would_change or "move" in reason.would_change.lower().split():
        return "Move them", f"/tanks/{tank}/move"
    if "vet" in reason.would_change:
        return "The report for a veterinarian", f"/tanks/{tank}/case"
    return "", ""


ROUTES = [Route("/tanks/{tank}/plan", show)]
