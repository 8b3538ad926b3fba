"""How a course ended, in one touch; and a look of the watch that follows."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.after import looked_for, texts_of_close
from tankward.desk.find import find_tank
from tankward.desk.touches import at_touch
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.entries.ends import OUTCOMES
from tankward.room.treated import Treated, unclosed
from tankward.rounds.watch import looks_ahead
from tankward.show.words.after import ENDED, MEANS, ahead_words, asks, begun_words, left_words, seen_lately
from tankward.show.words.causes import short_name
from tankward.show.words.days import moment_line

from ..border import border_of
from ..faults import by_field
from ..frame import Page, desk_of, keep, now_of, page, read_form, see_other
from ..touch import queued, taken_off


class ClosePage(Page, frozen=True, kw_only=True):
    """How did it end?"""

    template: ClassVar[str] = "close.html"
    name: str
    why: str
    lately: str
    left: str
    ahead: str
    outcomes: tuple[tuple[str, str, str], ...]  # value, words, what that means
    causes: tuple[tuple[str, str], ...]
    typed: Mapping[str, str]
    faults: Mapping[str, str]
    fault: str
    open: bool


def _causes(one: Treated, facts: Facts) -> tuple[tuple[str, str], ...]:
    """What it may have been; what the course was begun against stands first: it holds if nothing is said."""
    begun = one.begun.cause
    first = f"{short_name(begun, facts)}, as it was begun" if begun else "Don't know"
    rest = sorted((short_name(c, facts), c) for c in facts.causes if c != begun)
    return (("", first[:1].upper() + first[1:]), *((c, name[:1].upper() + name[1:]) for name, c in rest))


def _page(request: Request, typed: Mapping[str, str], fault: BadInput | None = None) -> Response:
    room, now, zone, facts = desk_of(request).room(), now_of(request), str(request.app.state.zone), load()
    tank = find_tank(room, request.path_params["tank"])
    one = unclosed(room, tank.id)
    if one is None:
        raise BadInput("tank", tank.name, "has no course that could be closed.")
    faults = by_field(fault) if fault else {}
    fields = ("seen", "cause", "note", "when")
    record = ClosePage(
        title=asks(one, room),
        place_line=f"{tank.name}, {moment_line(now, zone)}",
        tank=tank.id,
        name=tank.name,
        why=begun_words(one, now, zone),
        lately=seen_lately(room, one, now, zone, facts),
        left=left_words(one),
        ahead=ahead_words(looks_ahead(room, one, now, zone, facts)),
        outcomes=tuple((o, ENDED[o], MEANS[o]) for o in OUTCOMES),
        causes=_causes(one, facts),
        typed={k: typed.get(k, "") for k in fields},
        faults={k: faults.get(k, "") for k in fields},
        fault=" ".join(says for field, says in faults.items() if field not in fields),
        open=bool(typed) or bool(faults),
    )
    return page(request, record, 422 if fault else 200)


async def show(request: Request) -> Response:
    return _page(request, {})


async def close(request: Request) -> Response:
    """Its outcome is kept; what follows is worked out from it."""
    typed = await read_form(request)
    tank = find_tank(desk_of(request).room(), request.path_params["tank"]).id
    try:
        written = border_of(request).course_closed(tank, texts_of_close(typed))
    except BadInput as fault:
        return _page(request, typed, fault)
    return keep(request, f"/tanks/{tank}#after", *written.entries)


@queued
async def watched(request: Request) -> Response:
    """A look of the watch: not there, in one touch; what is seen is told on the page about signs."""
    typed = await read_form(request)
    touch, desk = taken_off(request, typed), desk_of(request)
    tank = find_tank(desk.room(), request.path_params["tank"]).id
    if typed.get("do") == "seen":
        return see_other(f"/tanks/{tank}/look")
    back = "/today" if typed.get("back") == "/today" else f"/tanks/{tank}#after"
    if touch.known(tuple(desk.entries())):
        return see_other(back)
    written = looked_for(at_touch(border_of(request), touch), tank, now_of(request))
    return keep(request, back, *written.entries)


ROUTES = [
    Route("/tanks/{tank}/close", show),
    Route("/tanks/{tank}/close", close, methods=["POST"]),
    Route("/tanks/{tank}/watched", watched, methods=["POST"]),
]
