"""Write down what happened: a form for each kind of entry, read off its record."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from msgspec.structs import replace
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.border import Written
from tankward.desk.find import find_tank
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.entries.water import MEASURED
from tankward.room.forms import form
from tankward.room.questions import Question
from tankward.room.replay import Room
from tankward.rounds.hold import hold_of
from tankward.show.words.after import NOT_GONE, hold_says

from ..border import border_of
from ..faults import by_field
from ..fields import Shown, asked
from ..frame import Page, desk_of, keep, now_of, page, read_form
from ..photos import PHOTO_FIELDS, SHOWS, photos_for, sent_photos

KINDS = {
    "reading": "Water tested",
    "change": "Water changed",
    "dose": "Dosed",
    "death": "Found dead",
    "counted": "Heads counted",
    "feed": "Feeding",
    "media": "Carbon or another medium",
    "siphon": "Siphoned",
    "note": "Note",
}
MORE = {
    "move": "Moved to another tank",
    "remove": "Taken out, sold or given away",
    "clean": "Filter, glass or net cleaned",
    "heat": "Heater set",
    "air": "Air turned up or back",
    "light": "Light",
    "top_up": "Topped up",
    "lost_water": "Water lost, not replaced",
    "power_cut": "Power, filter or heater was off",
    "power_back": "Power on again",
    "volume": "Its water measured",
    "bath": "Bath in a tub",
    "tank_closed": "Tank wound down",
}
WHEN = Question("When? Nothing: now.", "text")
NOTHING_SAID = "Not said"
SUBSTANCE, MASS = "by-hand", "by-hand-amount"
BY_HAND = ("dose", "bath")
LEAVES = ("move", "remove")


class LogPage(Page, frozen=True, kw_only=True):
    """The form of one kind of entry."""

    template: ClassVar[str] = "log.html"
    name: str
    kind: str
    fields: list[Shown]
    rest: list[Shown]
    photo_fault: str
    shows: str
    held: str  # why nothing leaves this tank, where something is about to
    fault: str


class LogKinds(Page, frozen=True, kw_only=True):
    """What can be written down in a tank."""

    template: ClassVar[str] = "log_kinds.html"
    name: str
    kinds: dict[str, str]
    more: dict[str, str]


def of_the_room(rows: list[Shown], questions: Mapping[str, Question], room: Room, tank: str) -> list[Shown]:
    """Fields that name something of the room let it be chosen instead of typed."""
    known = {
        "stock": tuple((s.id, s.name) for s in room.stock_of(tank)),
        "tank": tuple((t.id, t.name) for t in room.tanks.values() if t.id != tank),
        "supply": tuple((s.id, s.name) for s in room.shelf.values()),
    }
    made = []
    for row in rows:
        choices = known.get(questions[row.name].dimension, ()) if row.name in questions else ()
        first = ((row.value, row.value),) if row.value and row.value not in dict(choices) else ()
        made.append(replace(row, choices=(("", NOTHING_SAID), *first, *choices)) if choices else row)
    return made


def rest_of(kind: str, room: Room, typed: Mapping[str, str], faults: Mapping[str, str]) -> list[Shown]:
    """Fields whose names are themselves what is measured or dosed."""
    if kind == "reading":
        return [
            Shown(
                name=key,
                label=f"{m.says}{' (as N)' if m.of else ''}",
                hint=_unit_hint(m.unit),
                value=typed.get(key, ""),
                error=faults.get(key, ""),
            )
            for key, m in MEASURED.items()
        ]
    if kind == "dose":
        shelf = tuple((s.id, s.name) for s in room.shelf.values())
        return [
            Shown(
                name="supply",
                label="Which packet?",
                choices=(("", "None of these"), *shelf),
                value=typed.get("supply", ""),
                error=faults.get("supply", ""),
            ),
            Shown(
                name="units",
                label="How many of its units?",
                hint="like 1.5",
                value=typed.get("units", ""),
                error=faults.get("units", ""),
            ),
        ]
    return []


def by_hand(typed: Mapping[str, str], faults: Mapping[str, str]) -> list[Shown]:
    """A dose that came from no packet of the shelf: which substance, how much of it."""
    name = typed.get(SUBSTANCE, "")
    return [
        Shown(name=SUBSTANCE, label="Which substance, if from no packet?", hint="like salt, praziquantel",
              value=name, error=faults.get(name, "")),
        Shown(name=MASS, label="How much of it?", hint="like 108 mg, 12 g", value=typed.get(MASS, "")),
    ]  # fmt: skip


def joined(kind: str, typed: Mapping[str, str]) -> dict[str, str]:
    """What was typed as the border reads it: a substance given by hand is a key of its own."""
    texts = {k: v for k, v in typed.items() if v.strip() and k not in (SUBSTANCE, MASS)}
    if kind in BY_HAND and typed.get(SUBSTANCE, "").strip():
        texts[typed[SUBSTANCE].strip()] = typed.get(MASS, "")
    return texts


def _unit_hint(unit: str) -> str:
    return {
        "": "like 7.6",
        "C": "like 25C",
        "mg/L": "like 0.25 mg/L",
        "mg/L CaCO3": "like 5 dKH",
        "uS/cm": "like 450 uS/cm",
    }.get(unit, "")


def _page(
    request: Request, tank: str, kind: str, typed: Mapping[str, str], fault: BadInput | None
) -> Response:
    room = desk_of(request).room()
    found = find_tank(room, tank)
    faults = by_field(fault) if fault else {}
    questions = {**form(kind).questions, "when": WHEN}
    rest = rest_of(kind, room, typed, faults)
    rest += by_hand(typed, faults) if kind in BY_HAND else []
    taken = {f.name for f in rest}
    rows = [f for f in asked(questions, typed, faults) if f.name not in taken]
    rows = of_the_room(rows, questions, room, found.id)
    named = taken | {f.name for f in rows} | {typed.get(SUBSTANCE, ""), *PHOTO_FIELDS}
    record = LogPage(
        title={**KINDS, **MORE}.get(kind) or form(kind).title,
        place_line=f"{found.name}, write down", tank=found.id,
        name=found.name, kind=kind, fields=rows, rest=rest, shows=typed.get(SHOWS, ""),
        photo_fault=" ".join(faults[f] for f in PHOTO_FIELDS if f in faults),
        held=_held(request, found.id) if kind in LEAVES else "",
        fault=" ".join(s for f, s in faults.items() if f not in named),
    )  # fmt: skip
    return page(request, record, 422 if fault else 200)


def _held(request: Request, tank: str) -> str:
    """Why nothing leaves it (safety rule 26)."""
    room, now, zone, facts = desk_of(request).room(), now_of(request), str(request.app.state.zone), load()
    hold = hold_of(room, tank, now, zone, facts)
    return f"{hold_says(hold, room, now, zone, facts)} {NOT_GONE}" if hold else ""


async def show_kinds(request: Request) -> Response:
    found = find_tank(desk_of(request).room(), request.path_params["tank"])
    return page(
        request,
        LogKinds(
            title="What happened?",
            place_line=f"{found.name}, write down",
            tank=found.id,
            name=found.name,
            kinds=KINDS,
            more=MORE,
        ),
    )


async def show_form(request: Request) -> Response:
    return _page(request, request.path_params["tank"], request.path_params["kind"], {}, None)


async def write(request: Request) -> Response:
    typed = await read_form(request)
    tank, kind = request.path_params["tank"], request.path_params["kind"]
    shows = typed.pop(SHOWS, "")
    try:
        written: Written = border_of(request).log(kind, tank, joined(kind, typed))
        pictures = await sent_photos(request)
        added = photos_for(request, written.entry, pictures, shows)
    except BadInput as fault:
        return _page(request, tank, kind, {**typed, SHOWS: shows}, fault)
    gone = kind == "tank_closed"  # it has no page any more
    where = "/" if gone else f"/tanks/{written.entry.tank}"
    # What is taken back takes its photos along.
    return keep(request, where, *written.entries, *added, undo=written.entries, pictures=pictures)


ROUTES = [
    Route("/tanks/{tank}/log", show_kinds),
    Route("/tanks/{tank}/log/{kind}", show_form),
    Route("/tanks/{tank}/log/{kind}", write, methods=["POST"]),
]
