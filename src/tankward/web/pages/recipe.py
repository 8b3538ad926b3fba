"""Medicine in the food: for the fish of a tank, or of no room at all."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_tank
from tankward.desk.recipe import KEYS, Made
from tankward.press.recipe import sources_of, worked
from tankward.press.sheet import Asked
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.room.things import Supply
from tankward.show.words.bears import BearsRow, hardest_rows
from tankward.show.words.course import (
    caution_lines,
    danger_here,
    reach_lines,
    refused_rows,
    refused_says,
    statement_lines,
)
from tankward.show.words.recipe import WHAT_FOR, RecipeSaid, recipe_said, working_of
from tankward.show.words.step_parts import Context, published_words
from tankward.show.words.working import working_rows

from ..faults import by_field
from ..fields import Shown
from ..frame import Page, desk_of, page
from .prints import asked_of

FOODS = (
    ("gel", "Gel, frozen in squares"),
    ("frozen", "Frozen food with gelatine"),
    ("flakes", "Flakes, coated with oil"),
    ("granules", "Granules, coated with oil"),
)
HELD = (("", "No, or not yet"), ("yes", "Yes, I hold it lawfully"))
REGIONS = (
    ("", "Don't know"), ("US", "US"), ("UK", "UK"), ("EU", "EU"), ("DE", "Germany"), ("other", "Elsewhere"),
)  # fmt: skip
FISH = (
    ("animals", "Who eats?", "like 10 neon rainbow 4 cm; shrimp and snails don't count"),
    ("fish", "Or all of them weighed", "like 12 g: a jar of tank water on the scale, zero, fish in, read"),
    ("volume", "How much water is in their tank?", "like 35 L; for what leaches out"),
)
MORE = (
    ("ration", "What do they eat a day?", "like 0.4 g of dry food, or 1 % of their weight; don't know: 1 %"),
    ("moisture", "How much of that food is water?", "like 75 %; don't know: as usual for it"),
    (
        "dose",
        "Your veterinarian's own dose?",
        "like 50 mg/kg/day for the fish, or 5 mg/g food; nothing: published",
    ),
    ("days", "For how many days?", "like 5; nothing: as published"),
    ("cause", "Against what?", "like gut flagellates; nothing: what it is known for"),
)
CARRIED = ("gone", "regimen")
STRENGTH = (
    "strength",
    "Or how strong is it?",
    "like 200 mg per sachet, 20 %, or 10 mg/mL; nothing: pure powder",
)


class RecipePage(Page, frozen=True, kw_only=True):
    """The form and, once it can be worked out, the recipe."""

    template: ClassVar[str] = "recipe.html"
    place: ClassVar[str] = "More"
    action: str
    why: str
    said: RecipeSaid | None
    danger: list[str]  # of the course that runs in the tank
    reaches: list[str]
    published: str
    bears: list[BearsRow]
    cautions: list[str]
    statement: list[str]
    steps: list[dict[str, str]]
    assumes: tuple[str, ...]
    sources: list[str]
    first: list[Shown]
    more: list[Shown]
    more_open: bool
    fault: str
    refused: list[tuple[str, str]]
    ways: list[tuple[str, str]]  # out of a refusal
    kept: list[tuple[str, str]]  # what the form carries on without asking
    pdf: str
    course: str  # its dated steps, where it is about a tank
    netful: str


def _field(
    name: str, label: str, hint: str, query: Mapping[str, str], faults: Mapping[str, str],
    choices: tuple[tuple[str, str], ...] = (),
) -> Shown:  # fmt: skip
    return Shown(
        name=name,
        label=label,
        hint=hint,
        value=query.get(name, ""),
        error=faults.get(name, ""),
        choices=choices,
    )


def first_fields(
    asked: Asked, shelf: list[Supply], query: Mapping[str, str], faults: Mapping[str, str]
) -> list[Shown]:
    """What the recipe can't do without."""
    rows = [_field("substance", "Which medicine?", "like metronidazole", query, faults)]
    if not asked.tank:
        rows += [_field(*ask, query, faults) for ask in FISH]
    if shelf:
        packets = (("", "Another, or not written down"), *((s.id, s.name) for s in shelf))
        rows.append(_field("supply", "From which packet of the shelf?", "", query, faults, packets))
    rows.append(_field(*STRENGTH, query, faults))
    rows.append(_field("held", "Ordered by a veterinarian, or held lawfully?", "", query, faults, HELD))
    if not asked.desk.room().kit.region:
        rows.append(_field("region", "Whose law holds where you are?", "", query, faults, REGIONS))
    return [*rows, _field("food", "Which food takes it?", "", query, faults, FOODS)]


def more_fields(asked: Asked, query: Mapping[str, str], faults: Mapping[str, str]) -> list[Shown]:
    """What may stay open."""
    weighed = [FISH[1]] if asked.tank else []
    return [_field(*ask, query, faults) for ask in (*weighed, *MORE)]


def ways_of(asked: Asked, no: tuple[Reason, ...]) -> list[tuple[str, str]]:
    """Where to go from a refusal."""
    ways, page = [], f"/tanks/{asked.tank.id}/recipe" if asked.tank else "/recipe"
    if any("fry" in r.would_change for r in no):
        ways.append(("There are no fry", f"{page}?{urlencode({**asked.typed, 'gone': 'fry'})}"))
    if asked.tank and asked.typed.get("cause"):
        other = urlencode({"cause": asked.typed["cause"]})
        ways.append(("What else can be done", f"/tanks/{asked.tank.id}/options?{other}"))
    return ways


def record(
    asked: Asked,
    query: Mapping[str, str],
    faults: Mapping[str, str],
    no: tuple[Reason, ...],
    made: Made | None,
) -> RecipePage:
    """The page; without an answer only the form."""
    tank, facts = asked.tank, asked.facts
    shelf = [s for s in asked.desk.room().shelf.values() if not s.gone and s.actives]
    said = recipe_said(made, facts) if made else None
    course = made.course if made else None
    c = Context(course=course, facts=facts, kit=made.kit, shelf=made.shelf) if made and course else None
    named = {**({"tank": tank.id} if tank else {}), **asked.typed}
    own = {f.name for f in (*first_fields(asked, shelf, query, faults), *more_fields(asked, query, faults))}
    told = course.statement if course else None
    whom = f" for {tank.name}" if tank else ""
    more = more_fields(asked, query, faults)
    steps = {"substance": asked.typed.get("substance", ""), "route": "feed", **asked.typed}
    on_course = ("substance", "route", "supply", "cause", "food", "regimen", "gone")
    weighed = bool(course and course.recipe and course.recipe.weighed)
    plain = not any(
        k in asked.typed for k in ("held", "strength", "dose", "days", "fish", "ration", "moisture")
    )
    return RecipePage(
        title=said.title if said else refused_says(no) if no else f"Medicine in the food{whom}",
        place_line=f"{tank.name}, medicine in the food" if tank else "Medicine in the food",
        tank=tank.id if tank else "",
        action=f"/tanks/{tank.id}/recipe" if tank else "/recipe",
        why=said.why if said else "" if no else WHAT_FOR,
        said=said,
        danger=danger_here(asked.desk.room(), tank.id) if tank else [],
        reaches=reach_lines(course, facts) if course else [],
        published=published_words(c) if c else "",
        bears=hardest_rows(course.bears, facts) if course else [],
        cautions=caution_lines(course.cautions) if course else [],
        statement=statement_lines(told) if told else [],
        steps=working_rows(working_of(course).how) if course else [],
        assumes=working_of(course).assumes if course else (),
        sources=sources_of(made, asked) if made else [],
        first=first_fields(asked, shelf, query, faults),
        more=more,
        more_open=any(f.value or f.error for f in more),
        fault=" ".join(says for field, says in faults.items() if field not in own),
        refused=refused_rows(no),
        ways=ways_of(asked, no),
        kept=[(key, asked.typed[key]) for key in CARRIED if asked.typed.get(key)],
        pdf=f"/print/recipe.pdf?{urlencode(named)}" if made else "",
        course=f"/tanks/{tank.id}/course?{urlencode({k: v for k, v in steps.items() if k in on_course})}"
        if tank and made and plain
        else "",
        netful=f"/tanks/{tank.id}/measure/netful" if tank and not weighed else "",
    )


async def show(request: Request) -> Response:
    query, room = request.query_params, desk_of(request).room()
    name = request.path_params.get("tank", "")
    tank = find_tank(room, name) if name else None
    typed = {key: query[key] for key in KEYS if query.get(key, "").strip()}
    asked = asked_of(request, tank.id if tank else "", **typed)
    faults: dict[str, str] = {}
    no: tuple[Reason, ...] = ()
    made: Made | None = None
    if typed:
        try:
            made = worked(asked)
        except BadInput as fault:
            faults = by_field(fault)
        except Refused as refused:
            no = refused.reasons
    code = 422 if faults else 409 if no else 200
    return page(request, record(asked, dict(query), faults, no, made), code)


ROUTES = [Route("/recipe", show), Route("/tanks/{tank}/recipe", show)]
