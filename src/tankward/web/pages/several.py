"""One entry for several tanks at once: tick tanks, or all of a shelf; the same as last time."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import ClassVar

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.several import Before, last_time, log_in_all, shelves
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.forms import form
from tankward.room.replay import Room
from tankward.show.words.acts import listed
from tankward.show.words.days import clock, day_said
from tankward.show.words.log import entry_words

from ..border import border_of
from ..faults import by_field
from ..fields import Shown, asked
from ..frame import Page, desk_of, keep, now_of, page, read_form
from .log import KINDS, MORE, WHEN, by_hand, joined, rest_of

# What makes sense in many tanks; what is about one group of animals is not among them.
SEVERAL = ("change", "siphon", "feed", "top_up", "reading", "dose", "media", "clean", "light", "air", "note")
WORDS = {**KINDS, **MORE}


class Ticked(msgspec.Struct, frozen=True, kw_only=True):
    """A tank to tick."""

    id: str
    name: str
    on: bool


class Shelf(msgspec.Struct, frozen=True, kw_only=True):
    """Tanks that stand together, and one tick for all of them."""

    name: str  # "" where nobody said
    value: str
    on: bool
    tanks: list[Ticked]


class SeveralKinds(Page, frozen=True, kw_only=True):
    """What can be written down for several tanks."""

    template: ClassVar[str] = "several_kinds.html"
    kinds: list[tuple[str, str]]
    none: bool


class SeveralPage(Page, frozen=True, kw_only=True):
    """The tanks and the fields."""

    template: ClassVar[str] = "several.html"
    kind: str
    shelves: list[Shelf]
    fields: list[Shown]
    before: str  # the last entry of this kind, in words; "" where there is none
    fault: str


def shelf_rows(room: Room, ticked: Collection[str]) -> list[Shelf]:
    """The shelves with their tanks; a name that is all of the room needs no second tick."""
    return [
        Shelf(
            name=shelf,
            value=f"shelf:{shelf}",
            on=f"shelf:{shelf}" in ticked,
            tanks=[Ticked(id=t.id, name=t.name, on=t.id in ticked) for t in tanks],
        )
        for shelf, tanks in shelves(room).items()
    ]


def chosen(room: Room, ticked: Collection[str]) -> list[str]:
    """Ids of the tanks that are ticked, by themselves or with their shelf, each once."""
    return [
        t.id
        for shelf, tanks in shelves(room).items()
        for t in tanks
        if t.id in ticked or f"shelf:{shelf}" in ticked
    ]


def before_words(found: Before, room: Room, request: Request) -> str:
    """Half of the water changed, yesterday 20:00, in T1, T2 and T3."""
    now, zone = now_of(request), str(request.app.state.zone)
    last = found.entries[0]
    where = listed([room.tanks[t].name for t in found.tanks])
    when = f"{day_said(last.at, now, zone)} {clock(last.at, zone)}"
    return f"{entry_words(last, room, load())}, {when}, in {where}"


def _page(request: Request, kind: str, typed: Mapping[str, str], fault: BadInput | None) -> Response:
    room = desk_of(request).room()
    faults = by_field(fault) if fault else {}
    rest = rest_of(kind, room, typed, faults)
    rest += by_hand(typed, faults) if kind == "dose" else []
    taken = {f.name for f in rest}
    rows = [f for f in asked({**form(kind).questions, "when": WHEN}, typed, faults) if f.name not in taken]
    found = last_time(room, kind)
    named = taken | {f.name for f in rows}
    record = SeveralPage(
        title=f"{WORDS[kind]}: in which tanks?", place_line="Several tanks", kind=kind,
        shelves=shelf_rows(room, typed.get("tanks", "").split(";")), fields=[*rest, *rows],
        before=before_words(found, room, request) if found and found.entries else "",
        fault=" ".join(s for f, s in faults.items() if f not in named),
    )  # fmt: skip
    return page(request, record, 422 if fault else 200)


def _kind(request: Request) -> str:
    kind = str(request.path_params["kind"])
    if kind not in SEVERAL:
        raise BadInput(
            "kind", kind, f"can't be written for several tanks. Write one of {', '.join(SEVERAL)}."
        )
    return kind


async def show_kinds(request: Request) -> Response:
    kinds = [(WORDS[k], f"/several/{k}") for k in SEVERAL]
    none = not desk_of(request).room().tanks
    record = SeveralKinds(
        title="What happened in several tanks?", place_line="Several tanks", kinds=kinds, none=none
    )
    return page(request, record)


async def show(request: Request) -> Response:
    """The form; asked for the same as last time, it is filled so."""
    kind, room = _kind(request), desk_of(request).room()
    found = last_time(room, kind) if request.query_params.get("like") == "last" else None
    typed = {**texts_as_typed(kind, found.texts), "tanks": ";".join(found.tanks)} if found else {}
    return _page(request, kind, typed, None)


def texts_as_typed(kind: str, texts: Mapping[str, str]) -> dict[str, str]:
    """Fields as a keeper writes them: a share in per cent, a dose by hand as its two fields."""
    questions = form(kind).questions
    found = {}
    for key, text in texts.items():
        share = key in questions and questions[key].dimension == "share"
        found[key] = f"{100 * float(text.removeprefix('=')):g} %" if share else text
    rest = [k for k in found if k not in questions]
    if kind == "dose" and len(rest) == 1:
        found |= {"by-hand": rest[0], "by-hand-amount": found.pop(rest[0])}
    return found


async def write(request: Request) -> Response:
    """All of the entries, or none."""
    kind, typed = _kind(request), await read_form(request)
    tanks = chosen(desk_of(request).room(), typed.get("tanks", "").split(";"))
    texts = {k: v for k, v in joined(kind, typed).items() if k != "tanks"}
    try:
        written = log_in_all(border_of(request), kind, tanks, texts)
    except BadInput as fault:
        return _page(request, kind, typed, fault)
    return keep(request, "/", *written.entries)


ROUTES = [
    Route("/several", show_kinds),
    Route("/several/{kind}", show),
    Route("/several/{kind}", write, methods=["POST"]),
]
