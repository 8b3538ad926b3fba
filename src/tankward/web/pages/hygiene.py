"""Hygiene: how nets and hoses are made clean, for all tanks or for what one may have."""

from __future__ import annotations

from typing import ClassVar
from urllib.parse import urlencode

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.hygiene import KEYS
from tankward.desk.sources import titles
from tankward.press.hygiene import sources_of, worked
from tankward.quantities.faults import BadInput
from tankward.show.words import hygiene as words
from tankward.show.words.working import working_rows

from ..faults import by_field
from ..fields import Shown
from ..frame import Page, page
from .prints import asked_of

Row = tuple[str, str, str, str]


class HygienePage(Page, frozen=True, kw_only=True):
    """The order of cleaning."""

    template: ClassVar[str] = "hygiene.html"
    place: ClassVar[str] = "More"
    why: str
    action: str
    order: list[Row]
    never: tuple[str, ...]
    instead: list[Row]
    carried: tuple[tuple[str, str], ...]
    dead: tuple[tuple[str, str], ...]
    unsure: str
    steps: list[dict[str, str]]
    cautions: tuple[str, ...]
    sources: list[str]
    fields: list[Shown]
    pdf: str


async def show(request: Request) -> Response:
    query = request.query_params
    typed = {key: query[key] for key in KEYS if query.get(key, "").strip()}
    asked = asked_of(request, request.path_params.get("tank", ""), **typed)
    faults: dict[str, str] = {}
    try:
        given = worked(asked)
    except BadInput as fault:
        faults = by_field(fault)
        given = worked(msgspec.structs.replace(asked, typed={}))
    tank = asked.tank
    named = {**({"tank": tank.id} if tank else {}), **({} if faults else typed)}
    record = HygienePage(
        title=words.finding(given),
        place_line=f"{tank.name}, hygiene" if tank else "Hygiene",
        tank=tank.id if tank else "",
        why=words.why(given, asked.facts),
        action=f"/tanks/{tank.id}/hygiene" if tank else "/hygiene",
        order=words.order(given),
        never=words.NEVER,
        instead=words.instead(given),
        carried=words.CARRIED,
        dead=words.DEAD,
        unsure="" if given.strength_known else words.OLD_BLEACH,
        steps=working_rows(given.amount.how),
        cautions=given.amount.cautions[2:],
        sources=[f"{k}: {title}" for k, title, _ in titles(sources_of(given), asked.facts) if title],
        fields=[
            Shown(
                name="against", label="Against what?", value=query.get("against", given.germ),
                choices=tuple(words.AGAINST.items()), error=faults.get("against", ""),
            ),
            Shown(
                name="strength", label="How strong is your bleach?", value=query.get("strength", ""),
                hint="chlorine on the bottle, like 5 %", error=faults.get("strength", ""),
            ),
            Shown(
                name="volume", label="How much water does the bath hold?", value=query.get("volume", ""),
                hint="like 10 L; nothing: for 1 L", error=faults.get("volume", ""),
            ),
        ],
        pdf="/print/hygiene.pdf" + (f"?{urlencode(named)}" if named else ""),
    )  # fmt: skip
    return page(request, record, 422 if faults else 200)


ROUTES = [Route("/hygiene", show), Route("/tanks/{tank}/hygiene", show)]
