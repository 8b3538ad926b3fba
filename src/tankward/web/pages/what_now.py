"""The next ten minutes: the acts in their order, two questions of one touch, the time to look again."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import ClassVar

import msgspec
from starlette.datastructures import QueryParams
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.examine import told_of
from tankward.desk.find import find_tank
from tankward.desk.slip_ticks import ticks
from tankward.desk.walk import Walk, litres
from tankward.judge.choices import OLD_TANK_D
from tankward.judge.finding import Finding
from tankward.judge.findings import findings
from tankward.judge.from_room import room_evidence
from tankward.judge.slips import what_now
from tankward.judge.urgent import Ask, Told, Urgent, UrgentStep, urgent
from tankward.judge.waterstate import water_state
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.quantities.digits import shown
from tankward.quantities.faults import BadInput
from tankward.room.entries.base import Entry
from tankward.room.replay import Room
from tankward.room.things import Kit, Tank
from tankward.room.time import not_future
from tankward.show.words import urgent as words
from tankward.show.words.days import clock, moment_line

from ..border import border_of
from ..frame import Page, desk_of, keep, now_of, page, read_form, see_other
from ..walk import address, pairs_of, walk_of

ANSWERS = (("yes", "Yes"), ("no", "No"), ("unsure", "Don't know"))
QUESTIONS = ("untreated_tap", "old_tank")
OLD, RECENT = OLD_TANK_D.value + 1.0, 0.0  # days since the last big change, for "yes" and "no"
LONGEST = timedelta(hours=12)  # a page left open longer begins anew


class Answer(msgspec.Struct, frozen=True, kw_only=True):
    """One way to answer, as a button."""

    value: str
    words: str
    chosen: bool


class Row(msgspec.Struct, frozen=True, kw_only=True):
    """An act with its tick, and the question that may change it: nobody has to answer before acting.

    An act that an answer has ruled out leaves its question as the head, without a tick.
    """

    id: str
    head: str
    soft: str
    below: str
    done: bool
    act: bool
    ask: str
    ask_id: str
    answers: list[Answer]
    then: str  # where the page stands after a touch


class NowPage(Page, frozen=True, kw_only=True):
    """The next ten minutes."""

    template: ClassVar[str] = "now.html"
    place: ClassVar[str] = "Look"
    flag: str
    action: str
    kept: list[tuple[str, str]]
    rows: list[Row]
    again: str
    never: str
    onward: str
    writes: bool  # the last button writes down what was ticked


class Sofar(msgspec.Struct, frozen=True, kw_only=True):
    """What was ticked and answered since the page was opened."""

    since: datetime
    done: tuple[str, ...] = ()
    answers: Mapping[str, str] = {}


def sofar_of(query: Mapping[str, str], now: datetime) -> Sofar:
    """What an address or a form tells.

    Raises
    ------
    BadInput
        For an answer that is none.
    """
    answers = {q: query[q] for q in QUESTIONS if query.get(q)}
    for name, answer in answers.items():
        if answer not in dict(ANSWERS):
            raise BadInput(name, answer, "is not one of yes, no, unsure.")
    done = dict.fromkeys(d for d in query.get("done", "").split(",") if d)
    tick = query.get("tick", "")
    if tick in done:
        del done[tick]
    elif tick:
        done[tick] = None
    return Sofar(since=_since(query.get("since", ""), now), done=tuple(done), answers=answers)


def _since(text: str, now: datetime) -> datetime:
    if not text:
        return now
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        raise BadInput("since", text, "is not a moment.") from None
    if at.tzinfo is None or now - at > LONGEST:
        return now
    return not_future(at, now, text)


def answered(told: Told, answers: Mapping[str, str]) -> Told:
    """What the logbook says, with the two answers. Don't know stays not known."""
    tap, old = answers.get("untreated_tap"), answers.get("old_tank")
    if tap in ("yes", "no"):
        told = msgspec.structs.replace(told, untreated_tap=tap == "yes")
    if old in ("yes", "no"):
        told = msgspec.structs.replace(told, big_change_d=OLD if old == "yes" else RECENT)
    return told


class Case(msgspec.Struct, frozen=True, kw_only=True):
    """What is so: signs, what is known, what the water says."""

    seen: tuple[str, ...]
    told: Told
    found: tuple[Finding, ...] = ()
    temp: str = ""
    kit: Kit = Kit()

    def urgent(self, answers: Mapping[str, str], facts: Facts) -> Urgent:
        """What to do. Somebody who asks has a reason: with nothing told they gasp."""
        told = answered(self.told, answers)
        known = urgent(self.seen, told, facts, found=self.found)
        return known or what_now(self.seen, "", told, facts)


def rows_of(case: Case, sofar: Sofar, facts: Facts) -> list[Row]:
    """Acts in their order, each with the question that may change it. What is not answered is done as if
    nobody knew: the safe way.
    """
    asked = {s.act: s.ask for s in case.urgent({}, facts).steps if s.ask}
    steps = case.urgent(sofar.answers, facts).steps
    by_act = {s.act: s for s in steps if s.act != "look"}
    order = dict.fromkeys(["air", "stop", "dechlorinate", "change", *by_act])
    rows = [
        _row(act, by_act.get(act), asked.get(act), sofar, case)
        for act in order
        if act in by_act or act in asked
    ]
    following = [*(r.id for r in rows[1:]), "again"]
    return [msgspec.structs.replace(r, then=n) for r, n in zip(rows, following, strict=True)]


def _row(act: str, step: UrgentStep | None, ask: Ask | None, sofar: Sofar, case: Case) -> Row:
    chosen = sofar.answers.get(ask.id, "") if ask else ""
    answers = [Answer(value=v, words=w, chosen=v == chosen) for v, w in ANSWERS] if ask else []
    return Row(
        id=act,
        head=words.act_head(step) if step else "",
        soft=words.act_soft(step, case.temp, case.kit) if step else "",
        below=words.act_below(step) if step else "",
        done=act in sofar.done,
        act=step is not None,
        ask=words.question(ask) if ask else "",
        ask_id=ask.id if ask else "",
        answers=answers,
        then="",
    )


def record(
    request: Request, case: Case, sofar: Sofar, *, tank: Tank | None = None, walk: Walk | None = None
) -> NowPage:
    """The page as it stands."""
    facts, zone, now = load(), request.app.state.zone, now_of(request)
    found, seen = case.urgent({}, facts), case.seen
    kept = [
        ("since", sofar.since.isoformat()),
        ("done", ",".join(sofar.done)),
        *sofar.answers.items(),
        *(pairs_of(walk) if walk else ()),
    ]
    base = f"/tanks/{tank.id}" if tank else ""
    then = {"after": "now"} if seen else {}
    return NowPage(
        title=words.COMMANDS,
        place_line=moment_line(now, zone),
        tank=tank.id if tank else "",
        flag=words.flag(found, tank.name if tank else ""),
        action=f"{base}/now",
        kept=[(k, v) for k, v in kept if v],
        rows=rows_of(case, sofar, facts),
        again=clock(sofar.since + timedelta(minutes=found.look_again_min), zone),
        never=words.never_line(found),
        onward=address(f"{base}/{'causes' if seen else 'look'}", walk, then if walk else None),
        writes=tank is not None and bool(sofar.done),
    )


def _latest(query: QueryParams) -> dict[str, str]:
    """The last value of each name: a button's answer stands over the one that was kept."""
    return dict(query.multi_items())


async def show(request: Request) -> Response:
    """For what was told; nothing is kept."""
    facts = load()
    walk = walk_of(request.query_params, facts)
    told = Told(volume_l=litres(walk.volume, desk_of(request).taste))
    sofar = sofar_of(_latest(request.query_params), now_of(request))
    return page(
        request,
        record(request, Case(seen=walk.seen, told=told, kit=desk_of(request).room().kit), sofar, walk=walk),
        whole=True,
    )


def case_of(room: Room, tank: Tank, now: datetime, facts: Facts) -> Case:
    """What the logbook says of a tank."""
    state = water_state(room, tank.id, now, facts)
    warm = state.of("temp_c")
    seen = room_evidence(room, tank.id, facts, now).seen
    return Case(
        seen=seen,
        told=told_of(room, tank.id, state, now),
        found=findings(state, facts, seen=seen),
        temp=shown(warm.value, "C") if warm else "",
        kit=room.kit,
    )


async def show_tank(request: Request) -> Response:
    facts, room, now = load(), desk_of(request).room(), now_of(request)
    tank = find_tank(room, request.path_params["tank"])
    sofar = sofar_of(_latest(request.query_params), now)
    return page(request, record(request, case_of(room, tank, now, facts), sofar, tank=tank), whole=True)


def texts_of(row: Row, step: UrgentStep) -> tuple[str, dict[str, str]]:
    """What was done, as the border reads it."""
    return ticks(step) or ("note", {"text": row.head})


async def write(request: Request) -> Response:
    """What was ticked is written down together, at the time when the page was opened."""
    facts, room, now = load(), desk_of(request).room(), now_of(request)
    tank = find_tank(room, request.path_params["tank"])
    typed = await read_form(request)
    sofar = sofar_of({k: v.rpartition(";")[2] for k, v in typed.items() if k != "tick"}, now)
    case = case_of(room, tank, now, facts)
    steps = {s.act: s for s in case.urgent(sofar.answers, facts).steps}
    border = border_of(request)
    entries: list[Entry] = []
    for row in rows_of(case, sofar, facts):
        if row.done and row.id in steps:
            kind, texts = texts_of(row, steps[row.id])
            entries += border.log(kind, tank.id, texts | {"when": sofar.since.isoformat()}).entries
    url = f"/tanks/{tank.id}/{'causes' if case.seen else 'look'}"
    return keep(request, url, *entries) if entries else see_other(url)


ROUTES = [
    Route("/now", show),
    Route("/tanks/{tank}/now", show_tank),
    Route("/tanks/{tank}/now", write, methods=["POST"]),
]
