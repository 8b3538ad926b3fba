"""The shelf: packets as their labels say, how much is left of each, and what became of them."""

from __future__ import annotations

from datetime import date
from typing import ClassVar

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_supply
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.numerals import plain
from tankward.room.replay import Room
from tankward.room.things import Supply
from tankward.room.time import day_of
from tankward.show.words.know import url_of
from tankward.show.words.remedies import substance_name
from tankward.show.words.shelf import (
    NOT_KNOWABLE,
    Row,
    expiry_row,
    holds,
    left_margin,
    level_rows,
    packet_heading,
    read_back,
    shelf_heading,
    state_rows,
    then_words,
)
from tankward.show.words.supplies import course_rows

from ..border import border_of
from ..faults import by_field
from ..frame import Page, desk_of, keep, now_of, page, read_form
from .shelf_label import entry_of


class OnShelf(Page, frozen=True, kw_only=True):
    """One packet as a row. `title` is its name."""

    url: str
    margin: str
    sub: str
    holds: str
    date: str  # only where something is amiss with it


class ShelfPage(Page, frozen=True, kw_only=True):
    """What is on the shelf, and what was."""

    template: ClassVar[str] = "shelf.html"
    place: ClassVar[str] = "More"
    here: list[OnShelf]
    gone: list[OnShelf]


class PacketPage(Page, frozen=True, kw_only=True):
    """One packet: its label, its state, what became of it."""

    template: ClassVar[str] = "shelf_packet.html"
    place: ClassVar[str] = "More"
    id: str
    read: str
    then: str
    rows: list[Row]
    levels: list[Row]
    not_knowable: tuple[tuple[str, str], ...]
    known: list[tuple[str, str]]  # what we know of each active
    gone: bool
    bought: str  # how many were bought before
    entry: str
    faults: dict[str, str]


def _today(request: Request) -> date:
    return day_of(now_of(request), str(request.app.state.zone))


def _on_shelf(supply: Supply, today: date, room: Room) -> OnShelf:
    margin, sub = left_margin(supply)
    dated = expiry_row(supply, today)
    told = dated.head if dated is not None and dated.mark and not supply.gone else ""
    few = next((r.head for r in course_rows(room, supply.id) if r.mark), "")
    told = ". ".join(t for t in (told, f"{few}: not enough" if few else "") if t)
    return OnShelf(
        title=supply.name, url=f"/shelf/{supply.id}", margin=margin, sub=sub, holds=holds(supply, load()),
        date=told,
    )  # fmt: skip


async def show_all(request: Request) -> Response:
    today, room = _today(request), desk_of(request).room()
    supplies = list(room.shelf.values())
    record = ShelfPage(
        title=shelf_heading(supplies, today), place_line="Shelf",
        here=[_on_shelf(s, today, room) for s in supplies if s.gone != "thrown_away"],
        gone=[_on_shelf(s, today, room) for s in supplies if s.gone == "thrown_away"],
    )  # fmt: skip
    return page(request, record)


def _packet(request: Request, supply: Supply, fault: BadInput | None) -> Response:
    facts, today = load(), _today(request)
    entry = entry_of(desk_of(request).room(), supply.id)
    first = entry.thing.left
    rows = [*state_rows(supply, today), *course_rows(desk_of(request).room(), supply.id)]
    record = PacketPage(
        title=packet_heading(supply, today), place_line="Shelf", id=supply.id, read=read_back(supply, facts),
        then=then_words(supply.rule) if supply.rule else "", rows=rows,
        levels=level_rows(supply, facts), not_knowable=NOT_KNOWABLE if supply.own_rule_only else (),
        known=[(f"What we know of {substance_name(a.substance, facts)}", url_of("substance", a.substance))
               for a in supply.actives],
        gone=bool(supply.gone), bought="" if first is None else plain(first), entry=entry.id,
        faults=by_field(fault) if fault else {},
    )  # fmt: skip
    return page(request, record, 422 if fault else 200)


async def show_one(request: Request) -> Response:
    return _packet(request, find_supply(desk_of(request).room(), request.path_params["supply"]), None)


async def became(request: Request) -> Response:
    """Used up, bought again, thrown away."""
    typed = await read_form(request)
    packet = find_supply(desk_of(request).room(), request.path_params["supply"])
    own = {k: v for k, v in typed.items() if k in ("number", "expiry") and v.strip()}
    what = typed.get("what", "")
    try:
        written = border_of(request).packet(what, packet.id, own if what == "bought" else {})
    except BadInput as fault:
        return _packet(request, packet, fault)
    return keep(request, f"/shelf/{packet.id}", *written.entries)


ROUTES = [
    Route("/shelf", show_all),
    Route("/shelf/{supply}", show_one),
    Route("/shelf/{supply}", became, methods=["POST"]),
]
