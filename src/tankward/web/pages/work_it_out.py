"""Work it out: every calculation, with its working. Made from the same list as the command."""

from __future__ import annotations

from typing import Any, ClassVar
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.calc_examples import EXAMPLES
from tankward.desk.calculations import CALCULATIONS
from tankward.desk.sources import of_answer
from tankward.quantities.calculation import Calculation
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.quantities.working import Answer
from tankward.show.words.calculations import Groups, by_question, fitting
from tankward.show.words.working import working_rows

from ..faults import by_field
from ..fields import Shown, inputs
from ..frame import Page, desk_of, page

LONGEST = 100  # characters of a search


class Shelves(Page, frozen=True, kw_only=True):
    """All calculations by what is asked, or those that were looked for."""

    template: ClassVar[str] = "work_it_out.html"
    place: ClassVar[str] = "More"
    asked: str
    groups: Groups


class Worked(Page, frozen=True, kw_only=True):
    """One calculation, its form and, once it is filled, the answer."""

    template: ClassVar[str] = "worked.html"
    place: ClassVar[str] = "More"
    name: str
    purpose: str
    formula: str
    gives: str
    source: str
    example: str  # the address with an example filled in
    fields: list[Shown]
    more: list[Shown]  # may be left out
    answer: Answer | None
    steps: list[dict[str, str]]
    sources: list[tuple[str, str, str]]
    reasons: tuple[Reason, ...]
    fault: str


async def show_all(request: Request) -> Response:
    asked = request.query_params.get("words", "").strip()[:LONGEST]
    groups = by_question(CALCULATIONS)
    found = fitting(groups, asked) if asked else groups
    count = sum(len(rows) for _, rows in found)
    title = "What do you want to know?"
    if asked:
        title = f"{count if count else 'Nothing'} to work out by “{asked}”"
    return page(request, Shelves(title=title, place_line="Work it out", asked=asked, groups=found))


async def show_one(request: Request) -> Response:
    name = request.path_params["name"]
    if name not in CALCULATIONS:
        raise BadInput("calculation", name, "is not known here.")
    calculation = CALCULATIONS[name]
    typed = {k: v for k, v in request.query_params.items() if v.strip()}
    answer, told = _try(request, calculation, typed) if typed else (None, {})
    faults: dict[str, str] = told.get("faults", {})
    own = {i.name for i in calculation.inputs}
    record = Worked(
        title=calculation.purpose,
        place_line="Work it out",
        name=name,
        purpose=calculation.purpose,
        formula=calculation.formula,
        gives=calculation.unit,
        source=calculation.source,
        example=f"/work-it-out/{name}?{urlencode(EXAMPLES[name])}" if name in EXAMPLES else "",
        fields=inputs(calculation, typed, faults, optional=False),
        more=inputs(calculation, typed, faults, optional=True),
        answer=answer,
        steps=working_rows(answer.how) if answer else [],
        sources=of_answer(answer) if answer else [],
        reasons=told.get("reasons", ()),
        fault="; ".join(says for field, says in faults.items() if field not in own),
    )
    return page(request, record, 422 if faults else 200)


def _try(
    request: Request, calculation: Calculation, typed: dict[str, str]
) -> tuple[Answer | None, dict[str, Any]]:
    try:
        return calculation.run(typed, desk_of(request).taste), {}
    except BadInput as fault:
        return None, {"faults": by_field(fault)}
    except Refused as refused:
        return None, {"reasons": refused.reasons}


ROUTES = [Route("/work-it-out", show_all), Route("/work-it-out/{name}", show_one)]
