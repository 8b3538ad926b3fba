"""Today: the round in safe order, one tank in hand; tonight's steps by their hour; what else is due."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import ClassVar
from urllib.parse import urlencode

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_tank
from tankward.desk.touches import at_touch, explained, visited
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.replay import Room
from tankward.rounds.due import Due
from tankward.rounds.heads import Heads, Missing, heads_of
from tankward.rounds.round import Round, Visit, in_hand, round_of
from tankward.rounds.steps import StepDue
from tankward.show.words import today as words
from tankward.show.words.after import wanted
from tankward.show.words.days import clock, moment_line
from tankward.show.words.room import count
from tankward.show.words.states import mark_of

from ..border import border_of
from ..faults import by_field
from ..frame import Page, desk_of, keep, now_of, page, read_form, see_other
from ..touch import queued, taken_off

COUNT = "n-"  # before a group's id: the field of its heads
OPEN = 2  # groups that are counted in the open; the others stand folded


class CountRow(msgspec.Struct, frozen=True, kw_only=True):
    """The counter of one group. `said` is "" until it is touched: then nothing is counted."""

    name: str
    of: str
    alone: bool  # the only group: nobody else can be meant
    before: str
    when: str
    shown: str
    said: str
    fewer: str
    more: str
    write: str
    error: str


class HandRow(msgspec.Struct, frozen=True, kw_only=True):
    """One tank, as it stands open when it is in hand; and its row in the list."""

    tank: str
    name: str
    place: str
    who: str
    warm: str
    line: str
    care: str
    mark: str
    open: bool
    put_off: bool
    url: str
    skip: str
    counters: list[CountRow]
    folded: list[CountRow]


class StepRow(msgspec.Struct, frozen=True, kw_only=True):
    """One step of a running course; `entry` where it was done or left out."""

    margin: str
    head: str
    how: str
    why: str
    hazard: str
    late: str
    tank: str
    name: str
    step: str
    entry: str
    told: str
    put_off: str  # the address that puts it off for now; "" where it isn't late


class DueRow(msgspec.Struct, frozen=True, kw_only=True):
    """Something else that is due, or a count that misses some."""

    margin: str
    head: str
    soft: str
    url: str
    counted: str = ""
    move: str = ""
    watched: str = ""  # the tank, where a look of the watch is due
    wanted: str = ""


class DoneRow(msgspec.Struct, frozen=True, kw_only=True):
    """A tank that was looked at today."""

    margin: str
    head: str
    soft: str
    at: str
    entries: str
    url: str
    mark: str


class TodayPage(Page, frozen=True, kw_only=True):
    """Today's round."""

    template: ClassVar[str] = "today.html"
    place: ClassVar[str] = "Today"
    why: str
    empty: str  # what to say where nobody lives; "" where somebody does
    later: str
    hands: list[HandRow]
    order: str
    missing: list[DueRow]
    tonight: str
    steps: list[StepRow]
    due: list[DueRow]
    done: list[DoneRow]
    told: list[StepRow]


class Asked(msgspec.Struct, frozen=True, kw_only=True):
    """What the address or a faulty form says: the tank chosen, what is put off, counts so far."""

    tank: str = ""
    later: tuple[str, ...] = ()
    counts: Mapping[str, str] = {}
    faults: Mapping[str, str] = {}

    def url(self, tank: str = "", **counts: str) -> str:
        """Today with this tank in hand and these counts."""
        query = {"tank": tank, "later": ",".join(self.later), **self.counts, **counts}
        told = urlencode({k: v for k, v in query.items() if v})
        return f"/today?{told}#hand" if told else "/today#hand"

    def putting_off(self, what: str) -> str:
        return msgspec.structs.replace(self, later=(*self.later, what), counts={}).url()


def asked_of(request: Request) -> Asked:
    query = request.query_params
    return Asked(
        tank=query.get("tank", ""),
        later=_later(query.get("later", "")),
        counts={k: v for k, v in query.items() if k.startswith(COUNT)},
    )


def _later(text: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(t for t in text.split(",") if t))


class Telling(msgspec.Struct, frozen=True, kw_only=True):
    """What every row draws on."""

    room: Room
    found: Round
    facts: Facts
    now: datetime
    zone: str
    asked: Asked


def _hands(t: Telling) -> list[HandRow]:
    hand = in_hand(t.found, t.asked.tank, t.asked.later)
    done, whole = len(t.found.looked), t.found.tanks
    return [
        _hand(t, visit, f"{done + n} of {whole}", hand is not None and visit.tank == hand.tank)
        for n, visit in enumerate(t.found.visits, 1)
    ]


def _hand(t: Telling, visit: Visit, place: str, is_open: bool) -> HandRow:
    tank = t.room.tanks[visit.tank]
    counters = [_counter(t, visit.tank, h, alone=len(visit.heads) == 1) for h in visit.heads if h.countable]
    fish = sum(h.fish for h in visit.heads if h.countable)
    first = min(max(fish, 1), OPEN)
    warm = f", {tank.temp_c.value:g} °C" if tank.temp_c is not None else ""
    return HandRow(
        tank=tank.id, name=tank.name, place=place, who=words.who(visit.heads), warm=warm,
        line=words.heads_line(visit.heads, t.now, t.zone),
        care=words.care(visit, t.room, t.facts, t.now, t.zone),
        mark=mark_of(visit.state) or "caution", open=is_open, put_off=tank.id in t.asked.later,
        url=msgspec.structs.replace(t.asked, counts={}).url(tank.id),
        skip=t.asked.putting_off(tank.id), counters=counters[:first], folded=counters[first:],
    )  # fmt: skip


def _counter(t: Telling, tank: str, heads: Heads, *, alone: bool) -> CountRow:
    name = COUNT + heads.stock.id
    said = t.asked.counts.get(name, "")
    told = said.lower().removeprefix("about").strip()
    number = int(told) if told.isdecimal() else round(heads.number.value)
    about = "about " if said.lower().startswith("about") else ""
    return CountRow(
        name=name, of=heads.stock.name, alone=alone, before=count(heads.number),
        when=words.since_words(heads.since, t.now, t.zone), shown=said or str(number), said=said,
        fewer=t.asked.url(tank, **{name: f"{about}{max(number - 1, 0)}"}),
        more=t.asked.url(tank, **{name: f"{about}{number + 1}"}),
        write=t.asked.url(tank, **{name: f"{about}{number}"}), error=t.asked.faults.get(name, ""),
    )  # fmt: skip


def _steps(t: Telling) -> list[StepRow]:
    """Steps to do; those that are put off for now come last."""
    rows = [_step(t, s) for s in t.found.open_steps]
    return sorted(rows, key=lambda r: r.step in t.asked.later)


def _step(t: Telling, due: StepDue) -> StepRow:
    late = words.step_late(due, t.now)
    off = due.step.id in t.asked.later
    return StepRow(
        margin=clock(due.step.at, t.zone), head=words.step_words(due, t.room, t.facts), how=due.step.how,
        why=due.step.why, hazard=due.step.hazard, late=late, tank=due.tank,
        name=t.room.tanks[due.tank].name, step=due.step.id, entry=due.entry,
        told=words.step_told(due, t.zone) if due.entry else "",
        put_off=t.asked.putting_off(due.step.id) if late and not off else "",
    )  # fmt: skip


def _moved(one: Missing) -> dict[str, str]:
    return {"stock": one.stock.id, "number": "1", "counted": one.counted}


def _missing(t: Telling) -> list[DueRow]:
    return [
        DueRow(
            margin=t.room.tanks[m.tank].name, head=words.missing_words(m, t.room), soft="",
            url=f"/tanks/{m.tank}", counted=m.counted,
            move=f"/tanks/{m.tank}/move?{urlencode(_moved(m))}",
        )
        for m in t.found.missing
    ]  # fmt: skip


def _due(t: Telling) -> list[DueRow]:
    rows = []
    for one in t.found.due:
        head, soft = words.due_words(one, t.room, t.now, t.zone, t.facts)
        margin = t.room.tanks[one.tank].name if one.tank else "Shelf"
        look = one.watch is not None and one.kind == "watch"
        rows.append(
            DueRow(
                margin=margin, head=head, soft=soft, url=_due_url(one),
                watched=one.tank if look else "",
                wanted=wanted(one.watch, t.facts) if one.watch is not None else "",
            )
        )  # fmt: skip
    return rows


def _due_url(one: Due) -> str:
    """Where it is seen to."""
    if not one.tank:
        return "/shelf"
    ways = {"body": "log/remove", "close": "close", "back": "causes", "newcomer-look": "look?zone=vent"}
    if one.kind == "short":
        return f"/shelf/{one.what}"
    return f"/tanks/{one.tank}/{ways[one.kind]}" if one.kind in ways else f"/tanks/{one.tank}{_place(one)}"


def _place(one: Due) -> str:
    return "#after" if one.watch is not None else ""


def _done(t: Telling) -> list[DoneRow]:
    return [
        DoneRow(
            margin=t.room.tanks[one.tank].name, head=words.who(heads_of(t.room, one.tank, t.facts)),
            soft=words.looked_words(one, t.room, t.facts), at=clock(one.look.at, t.zone),
            entries=",".join([one.look.id, *(c.id for c in one.counts)]), url=f"/tanks/{one.tank}",
            mark="" if one.well else "caution",
        )
        for one in t.found.looked
    ]  # fmt: skip


def today_page(request: Request, asked: Asked) -> Response:
    room, now, zone, facts = desk_of(request).room(), now_of(request), str(request.app.state.zone), load()
    found = round_of(room, now, zone, facts)
    t = Telling(room=room, found=found, facts=facts, now=now, zone=zone, asked=asked)
    nobody = not found.tanks
    hand = in_hand(found, asked.tank, asked.later)
    record = TodayPage(
        title=words.EMPTY if nobody and not room.tanks else words.finding(found, hand, room, zone),
        place_line=moment_line(now, zone),
        why=words.why(found, room, zone),
        empty=words.EMPTY_SAYS if nobody and not room.tanks else "",
        later=",".join(asked.later),
        hands=_hands(t),
        order=words.order_words(facts),
        missing=_missing(t),
        tonight=words.tonight(found.open_steps, now, zone),
        steps=_steps(t),
        due=_due(t),
        done=_done(t),
        told=[_step(t, s) for s in found.told_steps],
    )
    return page(request, record, 422 if asked.faults else 200)


async def show(request: Request) -> Response:
    return today_page(request, asked_of(request))


def _back(typed: Mapping[str, str], *without: str) -> str:
    later = [t for t in _later(typed.get("later", "")) if t not in without]
    return f"/today?{urlencode({'later': ','.join(later)})}" if later else "/today"


@queued
async def visit(request: Request) -> Response:
    """One touch for a tank: all well, or looks odd; with the heads where they were counted."""
    typed = await read_form(request)
    touch, desk = taken_off(request, typed), desk_of(request)
    tank = find_tank(desk.room(), request.path_params["tank"]).id
    odd = typed.get("do") == "odd"
    url = f"/tanks/{tank}/look" if odd else _back(typed, tank)
    if touch.known(tuple(desk.entries())):
        return see_other(url)
    counts = {k: v for k, v in typed.items() if k.startswith(COUNT) and v}
    try:
        heads = {k.removeprefix(COUNT): v for k, v in counts.items()}
        entries = visited(at_touch(border_of(request), touch), tank, well=not odd, counts=heads)
    except BadInput as fault:
        later = _later(typed.get("later", ""))
        return today_page(request, Asked(tank=tank, later=later, counts=counts, faults=by_field(fault)))
    return keep(request, url, *entries)


@queued
async def explain(request: Request) -> Response:
    """Where a missing one went."""
    typed = await read_form(request)
    touch, desk = taken_off(request, typed), desk_of(request)
    if touch.known(tuple(desk.entries())):
        return see_other("/today")
    border = at_touch(border_of(request), touch)
    return keep(request, "/today", *explained(border, typed.get("count", ""), typed.get("how", "")))


ROUTES = [
    Route("/today", show),
    Route("/today/missing", explain, methods=["POST"]),
    Route("/tanks/{tank}/round", visit, methods=["POST"]),
]
