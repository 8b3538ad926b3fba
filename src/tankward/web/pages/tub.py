"""A hospital tub: for fish of a tank, or of no room at all."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_tank
from tankward.desk.sources import titles
from tankward.desk.tub import KEYS
from tankward.press.sheet import Asked
from tankward.press.tub import worked
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.room.things import Stock, Tank
from tankward.show.words import tub as words
from tankward.show.words.acts import ended
from tankward.show.words.course import danger_here
from tankward.show.words.room import count
from tankward.show.words.working import working_rows

from ..faults import by_field
from ..fields import Shown
from ..frame import Page, desk_of, page
from .prints import asked_of

GROUP = "n-"  # before the id of a group: how many of it go in
WATER = (
    ("volume", "How much water does the tub hold?", "like 10 L; nothing: the least that does"),
    ("ph", "Which pH has its water, or the new water if that is higher?", "like 7.6; don't know: 8.2"),
    ("temp", "How warm?", "like 25 C; don't know: 28 C"),
    ("food", "How much dry food a day, as share of their weight?", "like 1 %; don't know: 1 %, and no more"),
    ("protein", "How much protein is in the food?", "from its packet, like 45 %; don't know: 50 %"),
)
MEDICINE = (
    ("medicine", "Which medicine is in it?", "like praziquantel; nothing: none"),
    ("level", "How strong?", "like 2 mg/L"),
    ("strength", "How much is in one of your packets?", "like 90 mg per sachet, or 5 mg/mL"),
)
WHO = ("animals", "Who goes in?", "like 3 cherry barb 3 cm; 1 kuhli loach 6 cm")
WEIGHED = (
    "fish",
    "Or all of them weighed",
    "like 4 g: a jar of tank water on the scale, zero, fish in, read",
)


class TubPage(Page, frozen=True, kw_only=True):
    """The form and, once somebody is named, the tub."""

    template: ClassVar[str] = "tub.html"
    place: ClassVar[str] = "More"
    why: str
    danger: list[str]  # of the course that runs in the tank
    action: str
    about: tuple[tuple[str, str], ...]
    change: str
    doses: tuple[str, ...]
    bears: tuple[str, ...]
    of_medicine: tuple[str, ...]
    set_up: tuple[str, ...]
    rules: tuple[str, ...]
    see: tuple[tuple[str, str], ...]
    steps: list[dict[str, str]]
    assumes: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: list[str]
    who: list[Shown]
    water: list[Shown]
    medicine: list[Shown]
    fault: str
    reasons: tuple[Reason, ...]
    pdf: str


def chosen(stock: list[Stock], query: Mapping[str, str]) -> str:
    """The groups of a tank that go in, as one line."""
    told = []
    for one in stock:
        number = query.get(f"{GROUP}{one.id}", "").strip()
        if number and number != "0":
            length = f" {one.length_cm.value:g} cm" if one.length_cm else ""
            stage = f" {one.stage}" if one.stage in ("fry", "juvenile") else ""
            told.append(f"{number} {one.kind or 'unknown'}{stage}{length}")
    return "; ".join(told)


def who_fields(
    tank: Tank | None, stock: list[Stock], query: Mapping[str, str], faults: Mapping[str, str]
) -> list[Shown]:
    """One number a group of the tank; a line of words where there is none."""
    groups = [
        Shown(
            name=f"{GROUP}{one.id}",
            label=f"How many of the {count(one.number)} {one.name or one.kind or 'animals'}?",
            value=query.get(f"{GROUP}{one.id}", ""),
        )
        for one in stock
    ]
    asks = [WEIGHED] if groups else [WHO, WEIGHED]
    return [*groups, *_shown(asks, query, faults)]


def _shown(
    asks: list[tuple[str, str, str]], query: Mapping[str, str], faults: Mapping[str, str]
) -> list[Shown]:
    return [
        Shown(name=name, label=label, hint=hint, value=query.get(name, ""), error=faults.get(name, ""))
        for name, label, hint in asks
    ]


def record(
    asked: Asked,
    stock: list[Stock],
    query: Mapping[str, str],
    faults: Mapping[str, str],
    no: tuple[Reason, ...],
) -> TubPage:
    """The page; without an answer only the form."""
    tank = asked.tank
    given = worked(asked) if asked.typed and not faults and not no else None
    plan = given.plan if given else None
    own = {name for name, *_ in (WHO, WEIGHED, *WATER, *MEDICINE)} - ({"animals"} if stock else set())
    answer = given.answer if given else None
    medicine = given.medicine if given else None
    named = {**({"tank": tank.id} if tank else {}), **asked.typed}
    title = words.finding(plan) if plan else f"A hospital tub for {tank.name}" if tank else "A hospital tub"
    return TubPage(
        title=title,
        place_line=f"{tank.name}, hospital tub" if tank else words.TITLE,
        tank=tank.id if tank else "",
        why=words.why(plan) if plan else words.WHAT_FOR,
        danger=danger_here(asked.desk.room(), tank.id) if tank else [],
        action=f"/tanks/{tank.id}/tub" if tank else "/tub",
        about=tuple(words.about(given.animals, given.likely_g, plan, given.weighed, given.read))
        if given and plan
        else (),
        change=words.change_words(plan) if plan else "",
        doses=tuple(words.dose_lines(medicine)) if medicine else (),
        bears=tuple(words.bears_lines(medicine, asked.facts)) if medicine else (),
        set_up=words.SET_UP,
        rules=words.CHANGE_RULES,
        see=words.SEE,
        steps=working_rows([*answer.how, *(medicine.back.how if medicine else ())]) if answer else [],
        assumes=answer.assumes if answer else (),
        cautions=tuple(ended(c) for c in answer.cautions) if answer else (),
        of_medicine=tuple(ended(c) for c in given.of_medicine) if given else (),
        sources=[t for _, t, _ in titles(answer.source_keys(), asked.facts) if t] if answer else [],
        who=who_fields(tank, stock, query, faults),
        water=_shown(list(WATER), query, faults),
        medicine=_shown(list(MEDICINE), query, faults),
        fault=" ".join(says for field, says in faults.items() if field not in own),
        reasons=no,
        pdf=f"/print/tub.pdf?{urlencode(named)}" if given else "",
    )


async def show(request: Request) -> Response:
    query, room = request.query_params, desk_of(request).room()
    name = request.path_params.get("tank", "")
    tank = find_tank(room, name) if name else None
    stock = room.stock_of(tank.id) if tank else []
    stock = [s for s in stock if s.kind not in asked_of(request).facts.plants]
    typed = {key: query[key] for key in KEYS if query.get(key, "").strip()}
    if stock and (line := chosen(stock, query)):
        typed["animals"] = line
    asked = asked_of(request, tank.id if tank else "", **typed)
    faults: dict[str, str] = {}
    no: tuple[Reason, ...] = ()
    if query:
        try:
            worked(asked)
        except BadInput as fault:
            faults = by_field(fault)
        except Refused as refused:
            no = refused.reasons
    return page(request, record(asked, stock, dict(query), faults, no), 422 if faults else 409 if no else 200)


ROUTES = [Route("/tub", show), Route("/tanks/{tank}/tub", show)]
