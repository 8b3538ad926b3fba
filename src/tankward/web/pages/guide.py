"""Measuring step by step: one question at a time, then the answer with its working, then it is kept."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import ClassVar
from urllib.parse import urlencode

from msgspec.structs import replace
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_tank
from tankward.desk.guided import Found, found, trace_of, usual_trial
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, BadInputs
from tankward.quantities.parse import NUMBER, is_unknown
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.show.words.guided import found_says, kit_says, salt_lines
from tankward.show.words.guides import GUIDES, Asked, Guide
from tankward.show.words.kit import kit_name
from tankward.show.words.working import working_rows

from ..border import border_of
from ..frame import Page, desk_of, keep, page, read_form

UNKNOWN = "dont-know"
EMPTY = "Write it, or touch Don't know."
LONGEST = 300  # characters of one answer
ASKED_AS = {"lived": "went"}
OWN_KIT = ("scale", "syringes", "buckets", "tests")


class GuidePage(Page, frozen=True, kw_only=True):
    """One question."""

    template: ClassVar[str] = "guide.html"
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

    template: ClassVar[str] = "guide_found.html"
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

    template: ClassVar[str] = "guide_tank.html"
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


def questions(guide: Guide, room: Room, tank: str) -> list[Asked]:
    """What is asked here: what is known already is left out or stands in the field."""
    rows = []
    for one in guide.asked:
        if one.key == "step" and room.kit.scale_g is not None:
            continue
        rows.append(_of_room(one, room, tank))
    return rows


def _of_room(one: Asked, room: Room, tank: str) -> Asked:
    if one.key == "stock":
        groups = tuple((s.id, s.name) for s in room.stock_of(tank) if s.kind not in load().plants)
        return replace(one, choices=groups, value=groups[0][0] if len(groups) == 1 else "")
    if one.several:
        kits = [k.id for k in load().kits.values() if k.quantities]
        return replace(
            one, choices=tuple((k, _upper(kit_name(k))) for k in kits), value=";".join(room.kit.tests)
        )
    if one.key in ("bucket", "volume") and len(room.kit.buckets_l) == 1:
        return replace(one, value=f"{room.kit.buckets_l[0]:g}")
    if one.key == "substance" and tank in room.courses:
        return replace(one, value=room.courses[tank].substance.replace("_", " "))
    if one.key == "went":
        return replace(one, value=usual_trial(room, tank, load()))
    return replace(one, value=_owned(one.key, room) or one.value)


def _owned(key: str, room: Room) -> str:
    kit = room.kit
    return {
        "scale": f"{kit.scale_g:g}" if kit.scale_g else "",
        "syringes": ", ".join(f"{v:g}" for v in kit.syringes_ml),
    }.get(key, "")


def _upper(text: str) -> str:
    """A name at the head of a line; pH and dKH stay as they are."""
    return text if text[1:2].isupper() else text[:1].upper() + text[1:]


def with_unit(one: Asked, text: str) -> str:
    """A bare number is in the unit that stands beside the field."""
    bare = rf"{NUMBER}(\s*[,;/]\s*{NUMBER})*"
    return f"{text.strip()} {one.unit}" if one.unit and re.fullmatch(bare, text.strip()) else text.strip()


def typed_of(query: Mapping[str, str], asked: list[Asked]) -> dict[str, str]:
    """The answers so far; a touch on "Don't know" stands over the field.

    Raises
    ------
    BadInput
        For one that is too long.
    """
    typed = {a.key: with_unit(a, query[a.key]) for a in asked if a.key in query}
    if (key := query.get("unknown", "")) in {a.key for a in asked}:
        typed[key] = UNKNOWN
    for key, text in typed.items():
        if len(text) > LONGEST:
            raise BadInput(key, text[:20], f"is too long: {LONGEST} characters at most.")
    return typed


def open_question(asked: list[Asked], typed: Mapping[str, str]) -> int | None:
    """The first that was not answered; "don't know" is no answer where it has to be known."""
    for number, one in enumerate(asked):
        text = typed.get(one.key)
        if text is None or (not text and not one.several) or (is_unknown(text) and one.unknown and text):
            return number
    return None


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
        return ask_page(request, guide, tank, typed, _own(fault, asked))
    return found_page(request, guide, tank, typed, made)


def _own(fault: BadInput, asked: list[Asked]) -> BadInput:
    """A fault beside a question of the page: what is not asked here is told at the last."""
    faults = fault.faults if isinstance(fault, BadInputs) else [fault]
    keys = [a.key for a in asked]
    for one in faults:
        field = ASKED_AS.get(one.field, one.field)
        if field in keys:
            return BadInput(field, one.given, one.accepted)
    first = faults[0]
    own = keys[-1]
    if "level" in keys:  # the key of a level is the substance's own name
        own = "substance" if first.given == first.field else "level"
    return BadInput(own, first.given, first.accepted)


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
        return ask_page(request, guide, tank, typed, _own(fault, asked))
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
