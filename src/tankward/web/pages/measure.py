"""Measuring step by step: one question at a time, then the answer with its working, then it is kept."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar
from urllib.parse import urlencode

from msgspec.structs import replace
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_tank
from tankward.desk.guided import Found, found, trace_of
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import is_unknown
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.show.words.guided import found_says, kit_says, salt_lines
from tankward.show.words.measuring import GUIDES, Asked, Guide
from tankward.show.words.working import working_rows

from ..border import border_of
from ..frame import Page, desk_of, keep, page, read_form
from ..measuring import open_question, own_fault, questions, typed_of

EMPTY = "Write it, or touch Don't know."
OWN_KIT = ("scale", "syringes", "buckets", "tests")


class GuidePage(Page, frozen=True, kw_only=True):
    """One question."""

    template: ClassVar[str] = "measure.html"
    why: str
    steps: tuple[str, ...]
    first: bool
    lines: list[str]  # what is said beside the steps
    asked: Asked
    error: str
    unknown: str  # what to do, where the answer was "don't know" and has to be known
    kept: list[tuple[str, str]]
    back: str
    at: str  # "2 of 5"
    said: str  # the button's words


class GuideFound(Page, frozen=True, kw_only=True):
    """The answer, before it is kept."""

    template: ClassVar[str] = "measure_found.html"
    why: str
    steps: list[dict[str, str]]
    assumes: tuple[str, ...]
    cautions: tuple[str, ...]
    kept: list[tuple[str, str]]
    action: str
    back: str
    shown: str


class ChooseTank(Page, frozen=True, kw_only=True):
    """Which tank is measured."""

    template: ClassVar[str] = "measure_tank.html"
    place: ClassVar[str] = "More"
    why: str
    tanks: list[tuple[str, str]]


def guide_of(request: Request) -> Guide:
    """The guide of an address.

    Raises
    ------
    BadInput
        If there is none of that name.
    """
    what = request.path_params["what"]
    if what not in GUIDES or GUIDES[what].of_tank == request.url.path.startswith("/kit/"):
        raise BadInput("measure", what, f"is not known. Known are {', '.join(GUIDES)}.")
    return GUIDES[what]


def _latest(request: Request) -> dict[str, str]:
    """A name that comes several times is joined, as a form's ticks are."""
    query = request.query_params
    return {k: ";".join(v for v in query.getlist(k) if v) for k in query}


def base_of(guide: Guide, tank: Tank | None) -> str:
    return f"/tanks/{tank.id}/measure/{guide.word}" if tank else f"/kit/{guide.word}"


def _tank_of(request: Request, room: Room) -> Tank | None:
    word = request.path_params.get("tank")
    return find_tank(room, word) if word else None


def ask_page(
    request: Request, guide: Guide, tank: Tank | None, typed: Mapping[str, str], fault: BadInput | None = None
) -> Response:
    """The question in hand; a fault goes back to its own."""
    room = desk_of(request).room()
    asked = questions(guide, room, tank.id if tank else "")
    keys = [a.key for a in asked]
    at = keys.index(fault.field) if fault and fault.field in keys else open_question(asked, typed) or 0
    one = asked[at]
    told = typed.get(one.key, "")
    dont_know = bool(told) and is_unknown(told)
    before = [(a.key, typed[a.key]) for a in asked if a.key in typed and a.key != one.key]
    base = base_of(guide, tank)
    back = [(k, v) for k, v in before if keys.index(k) < max(at - 1, 0)]
    record = GuidePage(
        title=guide.title, place_line=f"{tank.name}, {_lower(guide.title)}" if tank else guide.title,
        tank=tank.id if tank else "", why=guide.why if at == 0 else "", steps=guide.steps, first=at == 0,
        lines=_lines(guide, room, tank), asked=replace(one, value="" if dont_know else told or one.value),
        error=str(fault) if fault else EMPTY if one.key in typed and not told else "",
        unknown=one.unknown if dont_know else "", kept=before,
        back=f"{base}?{urlencode(back)}" if at else "",
        at=f"{at + 1} of {len(asked)}" if len(asked) > 1 else "",
        said="Next" if at + 1 < len(asked) else "What does it come to?" if at else "Read it back to me",
    )  # fmt: skip
    return page(request, record, 422 if fault else 200, place=_place(tank))


def _place(tank: Tank | None) -> str:
    """A tank is measured in the room; the kit lies under More."""
    return "Room" if tank else "More"


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def _lines(guide: Guide, room: Room, tank: Tank | None) -> list[str]:
    """How much salt is small enough for those that live there."""
    if guide.word != "salt" or tank is None:
        return []
    t = trace_of(room, tank.id, load())
    return salt_lines(t.grams, t.level_mg_l, t.rise_us_cm, t.strictest, t.minds, t.unknown, t.status)


def found_page(
    request: Request, guide: Guide, tank: Tank | None, typed: dict[str, str], made: Found
) -> Response:
    """What it comes to, with the working and one button that keeps it."""
    room, facts = desk_of(request).room(), load()
    if guide.word in OWN_KIT and made.kit is not None:
        says, why = kit_says(guide.word, made.kit, facts)
    else:
        says, why = found_says(made.written.entry, made.answer, made.before, room, facts)
    last = list(typed)[:-1]
    base = base_of(guide, tank)
    record = GuideFound(
        title=says, place_line=f"{tank.name}, {_lower(guide.title)}" if tank else guide.title,
        tank=tank.id if tank else "", why=why, steps=working_rows(made.answer.how),
        assumes=made.answer.assumes, cautions=made.answer.cautions, kept=list(typed.items()), action=base,
        back=f"{base}?{urlencode([(k, typed[k]) for k in last])}", shown=made.answer.shown,
    )  # fmt: skip
    return page(request, record, place=_place(tank))


async def show(request: Request) -> Response:
    room, guide = desk_of(request).room(), guide_of(request)
    tank = _tank_of(request, room)
    asked = questions(guide, room, tank.id if tank else "")
    typed = typed_of(_latest(request), asked)
    if open_question(asked, typed) is not None:
        return ask_page(request, guide, tank, typed)
    try:
        made = found(guide.word, border_of(request), tank.id if tank else "", typed)
    except BadInput as fault:
        return ask_page(request, guide, tank, typed, own_fault(fault, asked))
    return found_page(request, guide, tank, typed, made)


async def write(request: Request) -> Response:
    room, guide = desk_of(request).room(), guide_of(request)
    tank = _tank_of(request, room)
    asked = questions(guide, room, tank.id if tank else "")
    typed = typed_of(await read_form(request), asked)
    if open_question(asked, typed) is not None:
        return ask_page(request, guide, tank, typed)
    try:
        made = found(guide.word, border_of(request), tank.id if tank else "", typed)
    except BadInput as fault:
        return ask_page(request, guide, tank, typed, own_fault(fault, asked))
    place = {"netful": "#lives", "jar": "#lives"}.get(guide.word, "#litres")
    return keep(request, f"/tanks/{tank.id}{place}" if tank else "/kit", *made.written.entries)


async def choose(request: Request) -> Response:
    """Which tank; with one tank there is nothing to choose."""
    room, guide = desk_of(request).room(), guide_of(request)
    tanks = [(t.name, base_of(guide, t)) for t in room.tanks.values()]
    record = ChooseTank(title=f"{guide.title}: in which tank?", place_line="Kit", why=guide.why, tanks=tanks)
    return page(request, record)


ROUTES = [
    Route("/kit/{what}", show),
    Route("/kit/{what}", write, methods=["POST"]),
    Route("/measure/{what}", choose),
    Route("/tanks/{tank}/measure/{what}", show),
    Route("/tanks/{tank}/measure/{what}", write, methods=["POST"]),
]
