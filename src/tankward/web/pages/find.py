"""Find: notes, tanks, animals, substances and days, as people say them."""

from __future__ import annotations

from datetime import datetime
from typing import ClassVar

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.search import Hit, Search, search
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.replay import Room
from tankward.show.words.days import clock, day_month
from tankward.show.words.find import found_heading, understood
from tankward.show.words.log import entry_row
from tankward.show.words.room import count

from ..frame import Page, desk_of, now_of, page

SHOWN = 100  # rows on one page, the newest
LONGEST = 200  # characters of a search


class FoundRow(msgspec.Struct, frozen=True, kw_only=True):
    """One row of what was found."""

    margin: str
    sub: str
    head: str
    soft: str
    url: str
    gone: bool = False


class FindPage(Page, frozen=True, kw_only=True):
    """The search and what it found."""

    template: ClassVar[str] = "find.html"
    place: ClassVar[str] = "More"
    asked: str
    understood: str
    fault: str
    things: list[FoundRow]
    rows: list[FoundRow]
    more: int


def hit_row(hit: Hit, room: Room, now: datetime, zone: str) -> FoundRow:
    """An entry as it is found: when, in which tank, what."""
    entry = hit.entry
    head, soft = entry_row(entry, room, load())
    tank = room.tanks.get(entry.tank)
    return FoundRow(
        margin=day_month(entry.at, now, zone),
        sub=clock(entry.at, zone),
        head=f"{tank.name}: {head}" if tank else head,
        soft=soft,
        url=f"/entries/{entry.id}",
        gone=hit.gone,
    )


def thing_rows(found: Search, room: Room) -> list[FoundRow]:
    """Tanks, animals and packets that are called so."""
    rows = [FoundRow(margin="Tank", sub="", head=t.name, soft="", url=f"/tanks/{t.id}") for t in found.tanks]
    for s in found.stock:
        where = room.tanks.get(s.tank)
        if where is not None and s.number.high > 0:
            rows.append(
                FoundRow(margin=where.name, sub="", head=f"{count(s.number)} {s.name}", soft="lives here",
                         url=f"/tanks/{where.id}#lives")
            )  # fmt: skip
    rows += [
        FoundRow(margin="Shelf", sub="", head=s.name, soft="", url=f"/shelf/{s.id}") for s in found.shelf
    ]
    return rows


async def show(request: Request) -> Response:
    text = request.query_params.get("words", "").strip()[:LONGEST]
    desk, now, zone = desk_of(request), now_of(request), str(request.app.state.zone)
    room = desk.room()
    try:
        found = search(room, desk.entries(), text, now, zone, load())
    except BadInput as fault:
        return page(request, _record(text, None, room, now, zone, str(fault)), 422)
    return page(request, _record(text, found, room, now, zone, ""))


def _record(text: str, found: Search | None, room: Room, now: datetime, zone: str, fault: str) -> FindPage:
    hits = found.hits[::-1] if found and text else ()
    things = thing_rows(found, room) if found else []
    return FindPage(
        title=found_heading(text, len(hits), len(things)),
        place_line="Find",
        asked=text,
        understood=understood(found.words, found.span.says if found.span else "") if found and text else "",
        fault=fault,
        things=things,
        rows=[hit_row(h, room, now, zone) for h in hits[:SHOWN]],
        more=max(len(hits) - SHOWN, 0),
    )


ROUTES = [Route("/find", show)]
