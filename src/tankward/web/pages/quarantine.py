"""Newcomers apart: asked for before they come, written down when they came, looked after while they wait."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import ClassVar

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.quarantine import Quarantine, begun, places, quarantine_wanted
from tankward.desk.sources import titles
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.room.replay import Room
from tankward.room.time import day_of
from tankward.rounds.newcomers import newcomers
from tankward.show.words import newcomers as words
from tankward.show.words.days import moment_line
from tankward.show.words.working import working_rows

from ..border import border_of
from ..faults import by_field
from ..fields import Shown
from ..frame import Page, desk_of, keep, now_of, page, read_form

LINES = 3  # sources that the form asks for at once
TAKEN = {"": "", "lives": ", somebody lives there", "course": ", a course runs there"}
WATER = (
    ("food", "How much dry food a day, as share of their weight?", "like 1 %; nothing: 1 %"),
    ("protein", "How much protein is in the food?", "from its packet, like 45 %; nothing: 50 %"),
    ("ph", "Which pH has the water?", "like 7.6; nothing: as last read, else 8.2"),
    ("temp", "How warm?", "like 25 C; nothing: as last read, else 28 C"),
    ("when", "When did they come? Nothing: now.", "like this morning, yesterday evening"),
)


class ArrivalTold(msgspec.Struct, frozen=True, kw_only=True):
    """One source, as the page tells it."""

    head: str
    place: str
    days_says: str
    rows: tuple[words.DayRow, ...]
    water: list[tuple[str, list[dict[str, str]]]]  # what is said of a ration, and its working
    common: list[tuple[str, str]]
    none_common: str


class ApartTold(msgspec.Struct, frozen=True, kw_only=True):
    """Those that are apart already."""

    tank: str
    head: str
    why: str
    rows: list[words.DayRow]
    due: bool


class QuarantinePage(Page, frozen=True, kw_only=True):
    """The form, what was asked for, who is apart."""

    template: ClassVar[str] = "quarantine.html"
    place: ClassVar[str] = "More"
    why: str
    reasons: tuple[Reason, ...]
    arrivals: list[ArrivalTold]
    apart: list[ApartTold]
    set_up: tuple[tuple[str, str], ...]
    bag: tuple[tuple[str, str], ...]
    no_sign: tuple[tuple[str, str], ...]
    never: tuple[str, ...]
    water_sure: str
    common_say: str
    days: list[words.DayRow]  # of all of them, where they are the same
    days_says: str
    sources: list[str]
    lines: list[list[Shown]]
    water: list[Shown]
    fault: str
    typed: Mapping[str, str]
    can_begin: bool


def _typed(query: Mapping[str, str]) -> dict[str, str]:
    """The form as the desk reads it: each source by its word, their tanks in the same order."""
    told = {name: query.get(name, "").strip() for name, *_ in WATER}
    into = []
    for n in range(LINES):
        animals, source = query.get(f"animals-{n}", "").strip(), query.get(f"source-{n}", "").strip()
        if not animals:
            continue
        word = source or f"source {n + 1}"
        if word in told:
            raise BadInput(f"source-{n}", source, "is told twice. Write them in one line.")
        told[word] = animals
        into.append(query.get(f"into-{n}", "").strip())
    if all(into):
        told["into"] = ",".join(into)
    return {k: v for k, v in told.items() if v}


def _lines(
    room: Room, facts: Facts, query: Mapping[str, str], faults: Mapping[str, str]
) -> list[list[Shown]]:
    there = [(p.tank, f"{room.tanks[p.tank].name}{TAKEN[p.why]}") for p in places(room, facts)]
    into = (("", "the next free one, else a tub"), *there)
    return [
        [
            Shown(name=f"animals-{n}", label="Who?" if n == 0 else f"Of another source: who? ({n + 1})",
                  value=query.get(f"animals-{n}", ""), error=faults.get("animals", "") if n == 0 else "",
                  hint="like 8 platies 2.5 cm; 2 kuhli loaches 6 cm"),
            Shown(name=f"source-{n}", label="From where?", value=query.get(f"source-{n}", ""),
                  hint="like auction, exchange, a shop", error=faults.get(f"source-{n}", "")),
            Shown(name=f"into-{n}", label="Into which tank?", value=query.get(f"into-{n}", ""), choices=into,
                  error=faults.get("into", "") if n == 0 else ""),
        ]
        for n in range(LINES)
    ]  # fmt: skip


async def show(request: Request) -> Response:
    return _page(request, dict(request.query_params))


def _page(request: Request, query: Mapping[str, str], fault: BadInput | None = None) -> Response:
    room, now, zone, facts = desk_of(request).room(), now_of(request), str(request.app.state.zone), load()
    found: Quarantine | None = None
    no: tuple[Reason, ...] = ()
    faults = by_field(fault) if fault else {}
    if any(query.get(f"animals-{n}", "").strip() for n in range(LINES)) and not faults:
        try:
            found = quarantine_wanted(room, _typed(query), now, zone, facts, room.kit.taste)
        except BadInput as bad:
            faults = by_field(bad)
        except Refused as refused:
            no = refused.reasons
    today = day_of(now, zone)
    apart = [
        ApartTold(
            tank=a.tank, head=words.apart_heading(a, room, now, zone), why=words.apart_why(a, room, facts),
            rows=words.apart_rows(a, today), due=bool(a.due(today)),
        )
        for a in newcomers(room, now, zone, facts)
        if a.watched(today)
    ]  # fmt: skip
    lines, water = _lines(room, facts, query, faults), _water(query, faults)
    named = {f.name for row in [*lines, water] for f in row if f.error}
    told = {"animals": "animals-0", "into": "into-0"}
    arrivals = _arrivals(found, room, now, zone, facts) if found else []
    alike = len({tuple(a.rows) for a in arrivals}) == 1
    record = QuarantinePage(
        title=words.heading(found, room) if found else (apart[0].head if apart else words.TITLE),
        place_line=f"Newcomers apart, {moment_line(now, zone)}",
        why="" if found else words.WHAT_FOR,
        reasons=no, arrivals=arrivals, apart=apart,
        set_up=words.SET_UP, bag=words.BAG, no_sign=words.NO_SIGN, never=words.NEVER,
        water_sure=words.WATER_SURE if found and any(a.fed for a in found.arrivals) else "",
        common_say=words.COMMON_SAY,
        days=list(arrivals[0].rows) if alike else [], days_says=arrivals[0].days_says if alike else "",
        sources=_sources(found, facts),
        lines=lines, water=water,
        fault=" ".join(s for f, s in faults.items() if told.get(f, f) not in named),
        typed={k: v for k, v in query.items() if v.strip()} if found else {},
        can_begin=bool(found) and all(a.tank for a in (found.arrivals if found else ())),
    )  # fmt: skip
    return page(request, record, 422 if faults else 409 if no else 200)


def _water(query: Mapping[str, str], faults: Mapping[str, str]) -> list[Shown]:
    return [
        Shown(name=name, label=label, hint=hint, value=query.get(name, ""), error=faults.get(name, ""))
        for name, label, hint in WATER
    ]


def _arrivals(found: Quarantine, room: Room, now: datetime, zone: str, facts: Facts) -> list[ArrivalTold]:
    today = day_of(now, zone)
    return [
        ArrivalTold(
            head=f"{words.from_words(a)}: {words.who(a)}", place=words.place_says(a, room),
            days_says=words.days_says(a), rows=tuple(words.day_rows(a, found.came, today, zone)),
            water=[(words.fed_says(f), working_rows(f.how)) for f in a.fed],
            none_common="" if a.common else words.NONE_COMMON,
            common=[(words.common_says(c, facts), words.common_soft(c, facts)) for c in a.common],
        )
        for a in found.arrivals
    ]  # fmt: skip


def _sources(found: Quarantine | None, facts: Facts) -> list[str]:
    keys = [k for a in (found.arrivals if found else ()) for f in a.fed for k in f.answer.source_keys()]
    keys += [k for a in (found.arrivals if found else ()) for c in a.common for k in c.source.split()]
    return [f"{key}: {title}" for key, title, _ in titles(keys, facts) if title]


async def write(request: Request) -> Response:
    """They came: each group is written into its tank, and their days stand in the round."""
    typed = await read_form(request)
    desk, facts = desk_of(request), load()
    room, now, zone = desk.room(), now_of(request), str(request.app.state.zone)
    try:
        found = quarantine_wanted(room, _typed(typed), now, zone, facts, room.kit.taste)
        written = begun(border_of(request), found)
    except BadInput as fault:
        return _page(request, typed, fault)
    except Refused:
        return _page(request, typed)
    return keep(request, "/quarantine", *(e for w in written for e in w.entries))


ROUTES = [Route("/quarantine", show), Route("/quarantine", write, methods=["POST"])]
