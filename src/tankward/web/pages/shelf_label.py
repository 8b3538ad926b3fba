"""A label, typed by thumb and read back in a sentence before it is kept; and put right the same way."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_supply
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.entries.base import Entry
from tankward.room.entries.shelf import SupplyAdded
from tankward.room.replay import Room
from tankward.room.things import Supply
from tankward.show.words.shelf import NOT_KNOWABLE, OWN_RULE, Row, level_rows, read_back, then_words
from tankward.treat.policy import permission

from ..border import border_of
from ..faults import by_field
from ..fields import Shown
from ..frame import Page, desk_of, keep, page, read_form
from ..label_form import KEPT, MOST_ACTIVES, RULE, UNITS, ActiveRow, fields, rows_of, texts_of, typed_of

HELD = "held-lawfully"


class LabelForm(Page, frozen=True, kw_only=True):
    """The form of a label. `post` is where it goes."""

    template: ClassVar[str] = "shelf_label.html"
    place: ClassVar[str] = "More"
    post: str
    name: Shown
    unit: str
    units: tuple[tuple[str, str], ...]
    unit_error: str
    actives: list[ActiveRow]
    more: bool  # whether one more active may be asked for
    unnamed: bool
    actives_error: str
    substances: list[str]  # names to choose from while typing
    rule: list[Shown]
    kept: list[Shown]
    fault: str


class ReadBack(Page, frozen=True, kw_only=True):
    """What was understood, before it is kept."""

    template: ClassVar[str] = "shelf_read.html"
    place: ClassVar[str] = "More"
    post: str
    button: str
    then: str
    levels: list[Row]
    strange: str  # why it can only follow its own rule
    not_knowable: tuple[tuple[str, str], ...]
    law: list[str]  # asked for lawful possession where this is not empty
    held: str
    typed: list[tuple[str, str]]


def _names() -> list[str]:
    return sorted({s.names[0].split(" (")[0] for s in load().substances.values() if not s.parts})


def _form(
    request: Request, post: str, title: str, typed: Mapping[str, str], fault: BadInput | None
) -> Response:
    faults = by_field(fault) if fault else {}
    rows = rows_of(typed, fault, load())
    known = {"name", "unit", "actives", *(r.name for r in rows), *(k for k, _, _ in (*RULE, *KEPT))}
    unit = typed.get("unit", "")
    named_units = UNITS if unit in ("", *(u for u, _ in UNITS)) else (*UNITS, (unit, f"{unit}s"))
    in_row = any(r.amount_error for r in rows)
    name = Shown(
        name="name", label="What do you call it?", hint="your own word for it, like worm sachets",
        value=typed.get("name", ""), error=faults.get("name", ""),
    )  # fmt: skip
    record = LabelForm(
        title=title, place_line="Shelf", post=post, name=name, unit=unit, units=named_units,
        unit_error=faults.get("unit", ""), actives=rows, more=len(rows) < MOST_ACTIVES,
        unnamed=typed.get("unnamed") == "yes", actives_error="" if in_row else faults.get("actives", ""),
        substances=_names(), rule=fields(RULE, typed, faults), kept=fields(KEPT, typed, faults),
        fault=" ".join(says for field, says in faults.items() if field not in known),
    )  # fmt: skip
    return page(request, record, 422 if fault else 200)


def _checked(texts: Mapping[str, str], typed: Mapping[str, str]) -> None:
    """What the border takes for granted and a form has to ask."""
    if not typed.get("unit"):
        raise BadInput("unit", "", "is missing. Choose in what it is counted.")


def law_lines(supply: Supply, region: str) -> list[str]:
    """Why lawful possession is asked for; nothing where the law of the region does not ask."""
    facts = load()
    found = [permission(a.substance, region, (), facts) for a in supply.actives]
    told = []
    for asked in (p for p in found if p.may == "vet"):
        name = facts.substances[asked.substance].names[0]
        lines = [law.statement for law in asked.law][:1]
        told.append(" ".join([f"{name[:1].upper()}{name[1:]} is for a veterinarian to order.", *lines]))
    return told


def _read_back(
    request: Request, post: str, button: str, supply: Supply, typed: Mapping[str, str], room: Room
) -> Response:
    facts = load()
    record = ReadBack(
        title=read_back(supply, facts), place_line="Shelf", post=post, button=button,
        then=then_words(supply.rule) if supply.rule else "", levels=level_rows(supply, facts),
        strange=OWN_RULE if supply.own_rule_only else "",
        not_knowable=NOT_KNOWABLE if supply.own_rule_only else (),
        law=law_lines(supply, room.kit.region), held=typed.get(HELD, ""),
        typed=[(k, v) for k, v in typed.items() if k not in ("do", HELD)],
    )  # fmt: skip
    return page(request, record)


NEW = "What does its label say?"
RIGHT = "What does the label really say?"


async def show_new(request: Request) -> Response:
    return _form(request, "/shelf/new", NEW, {}, None)


async def write_new(request: Request) -> Response:
    typed = await read_form(request)
    if typed.get("do") in ("more", "change"):
        return _form(request, "/shelf/new", NEW, typed, None)
    try:
        texts = texts_of(typed)
        _checked(texts, typed)
        written = border_of(request).supply(texts)
    except BadInput as fault:
        return _form(request, "/shelf/new", NEW, typed, fault)
    supply = _supply(written.entry)
    if typed.get("do") != "keep":
        room = desk_of(request).room()
        return _read_back(request, "/shelf/new", "Put it on the shelf", supply, typed, room)
    return keep(request, f"/shelf/{supply.id}", *written.entries)


def _supply(entry: Entry) -> Supply:
    assert isinstance(entry, SupplyAdded)
    return entry.thing


def entry_of(room: Room, supply: str) -> SupplyAdded:
    """The entry that a packet stands in, as it was last put right.

    Raises
    ------
    BadInput
        If nothing is called so.
    """
    wanted = find_supply(room, supply).id
    return next(e for e in reversed(room.log) if isinstance(e, SupplyAdded) and e.thing.id == wanted)


async def show_right(request: Request) -> Response:
    entry = entry_of(desk_of(request).room(), request.path_params["supply"])
    return _form(request, f"/shelf/{entry.thing.id}/label", RIGHT, typed_of(entry.thing), None)


async def write_right(request: Request) -> Response:
    """A correction: the label as it was stays in the log."""
    typed, room = await read_form(request), desk_of(request).room()
    old = entry_of(room, request.path_params["supply"])
    post = f"/shelf/{old.thing.id}/label"
    if typed.get("do") in ("more", "change"):
        return _form(request, post, RIGHT, typed, None)
    try:
        texts = texts_of(typed, old.thing)
        _checked(texts, typed)
        written = border_of(request).correct(old.id, texts)
    except BadInput as fault:
        return _form(request, post, RIGHT, typed, fault)
    new, correction = written.entries
    if typed.get("do") != "keep":
        return _read_back(request, post, "Put the label right", _supply(new), typed, room)
    return keep(request, f"/shelf/{old.thing.id}", new, correction, undo=(correction,))


ROUTES = [
    Route("/shelf/new", show_new),
    Route("/shelf/new", write_new, methods=["POST"]),
    Route("/shelf/{supply}/label", show_right),
    Route("/shelf/{supply}/label", write_right, methods=["POST"]),
]
