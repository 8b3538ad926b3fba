"""The shelf: packets as their labels say."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.forms import form
from tankward.show.words.room import supply_line

from ..border import border_of
from ..faults import by_field
from ..fields import Shown, asked
from ..frame import Page, desk_of, keep, page, read_form

ACTIVES = 3  # rows on the form; a label with more actives can be added from the command line


class ShelfPage(Page, frozen=True, kw_only=True):
    """What is on the shelf, and the form of one more packet."""

    template: ClassVar[str] = "shelf.html"
    place: ClassVar[str] = "More"
    supplies: list[str]
    fields: list[Shown]
    actives: list[tuple[Shown, Shown]]
    fault: str


def _actives(typed: Mapping[str, str], faults: Mapping[str, str]) -> list[tuple[Shown, Shown]]:
    rows = []
    for n in range(1, ACTIVES + 1):
        name, amount = f"active-{n}", f"amount-{n}"
        error = faults.get(typed.get(name, ""), "")
        rows.append(
            (
                Shown(
                    name=name,
                    label=f"Active {n}, as the label names it",
                    value=typed.get(name, ""),
                    error=error,
                ),
                Shown(
                    name=amount,
                    label="How much of it in one?",
                    hint="like 200 mg, 5 mg/mL, 37 %",
                    value=typed.get(amount, ""),
                ),
            )
        )
    return rows


def joined(typed: Mapping[str, str]) -> dict[str, str]:
    """The actives of the form as key=value, as the border reads them."""
    texts = {k: v for k, v in typed.items() if v and not k.startswith(("active-", "amount-"))}
    for n in range(1, ACTIVES + 1):
        if typed.get(f"active-{n}"):
            texts[typed[f"active-{n}"]] = typed.get(f"amount-{n}", "")
    return texts


def _page(request: Request, typed: Mapping[str, str], fault: BadInput | None) -> Response:
    faults = by_field(fault) if fault else {}
    rows = asked(form("supply").questions, typed, faults)
    named = {f.name for f in rows} | set(typed.values())
    record = ShelfPage(
        title="Shelf",
        place_line="Shelf",
        supplies=[supply_line(s, load()) for s in desk_of(request).room().shelf.values()],
        fields=rows,
        actives=_actives(typed, faults),
        fault=" ".join(s for f, s in faults.items() if f not in named),
    )
    return page(request, record, 422 if fault else 200)


async def show(request: Request) -> Response:
    return _page(request, {}, None)


async def write(request: Request) -> Response:
    typed = await read_form(request)
    try:
        written = border_of(request).supply(joined(typed))
    except BadInput as fault:
        return _page(request, typed, fault)
    return keep(request, "/shelf", *written.entries)


ROUTES = [Route("/shelf", show), Route("/shelf", write, methods=["POST"])]
