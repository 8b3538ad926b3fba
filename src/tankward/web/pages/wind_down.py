"""A tank wound down: its animals, its water, its things, its glass, its record."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_tank
from tankward.desk.sources import titles
from tankward.desk.winding import Winding, close, leave, winding_of
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.room.replay import Room
from tankward.rounds.closing import Leaving
from tankward.show.words import winding as words
from tankward.show.words.days import moment_line
from tankward.show.words.working import working_rows

from ..border import border_of
from ..faults import by_field
from ..fields import Shown
from ..frame import Page, desk_of, keep, now_of, page, read_form

WAYS = (
    ("sold", "sold"),
    ("given", "given away"),
    ("ended", "a humane end"),
    ("dead", "dead"),
    ("other", "other"),
)
FIELDS = ("strength", "volume")


class GroupTold(msgspec.Struct, frozen=True, kw_only=True):
    """One group with where it may be written to."""

    row: words.Goes
    goes: tuple[tuple[str, str], ...]
    animal: bool


class WindDownPage(Page, frozen=True, kw_only=True):
    """All that closing a tank takes."""

    template: ClassVar[str] = "wind_down.html"
    name: str
    why: str
    reasons: tuple[Reason, ...]
    fault: str
    groups: list[GroupTold]
    parts: list[tuple[str, tuple[words.Step, ...]]]
    dry: list[tuple[str, str]]
    steps: list[dict[str, str]]
    cautions: tuple[str, ...]
    never: tuple[str, ...]
    end: str
    left: str
    can_close: bool
    unsure: str
    fields: list[Shown]
    sources: list[str]


def _goes(one: Leaving, room: Room) -> tuple[tuple[str, str], ...]:
    homes = [(h.tank, f"to {room.tanks[h.tank].name}") for h in one.homes]
    ways = [w for w in WAYS if not (one.held and w[0] in ("sold", "given"))]
    return (("", "choose"), *homes, *ways)


def _page(
    request: Request,
    typed: Mapping[str, str],
    fault: BadInput | None = None,
    no: tuple[Reason, ...] = (),
) -> Response:
    room, now, zone, facts = desk_of(request).room(), now_of(request), str(request.app.state.zone), load()
    tank = find_tank(room, request.path_params["tank"])
    faults = by_field(fault) if fault else {}
    told = {k: typed.get(k, "") for k in FIELDS}
    try:
        found = winding_of(room, tank.id, told, now, zone, facts)
    except BadInput as bad:
        faults = {**faults, **by_field(bad)}
        found = winding_of(room, tank.id, {}, now, zone, facts)
    hints = {"strength": "chlorine on the bottle, like 5 %", "volume": "nothing: the water it holds now"}
    labels = {"strength": "How strong is your bleach?", "volume": "How much water is it filled with?"}
    groups = [
        GroupTold(row=words.goes(g, room), goes=_goes(g, room), animal=g.kind != "plant")
        for g in found.closing.groups
    ]
    record = WindDownPage(
        title=words.finding(found),
        place_line=f"{tank.name}, winding down, {moment_line(now, zone)}",
        tank=tank.id, name=tank.name,
        why=words.why(found, room, now, zone, facts),
        reasons=no, fault=" ".join(s for f, s in faults.items() if f not in FIELDS),
        groups=groups,
        parts=[
            ("Catching them", words.CATCH if groups else ()),
            ("The water", tuple(words.water_steps(found))),
            ("Its things", tuple(words.thing_steps(found))),
            ("The glass, each done before the next", tuple(words.glass_steps(found, facts))),
        ],
        dry=[words.dry_line(d, facts) for d in found.closing.dry],
        steps=working_rows(found.bleach.how) if found.bleach else [],
        cautions=(found.bleach.cautions[0], *found.bleach.cautions[2:]) if found.bleach else (),
        never=words.never(found), end=words.END, left=words.left_says(found),
        can_close=not any(g.animal for g in groups),
        unsure="" if found.strength_known else words.OLD_BLEACH,
        fields=[
            Shown(name=k, label=labels[k], value=told[k], hint=hints[k], error=faults.get(k, ""))
            for k in FIELDS
        ],
        sources=[f"{key}: {title}" for key, title, _ in titles(_keys(found), facts) if title],
    )  # fmt: skip
    return page(request, record, 409 if no else 422 if faults else 200)


def _keys(found: Winding) -> list[str]:
    own = found.bleach.source_keys() if found.bleach else ()
    return [*own, *found.bath.keys, *(b.source for b in found.net.baths)]


async def show(request: Request) -> Response:
    return _page(request, dict(request.query_params))


async def write(request: Request) -> Response:
    """Where a group went, or the record closed; what must not be is told before anything is kept."""
    typed = await read_form(request)
    tank = find_tank(desk_of(request).room(), request.path_params["tank"]).id
    try:
        if typed.get("do") == "close":
            return keep(request, "/", *close(border_of(request), tank, typed).entries)
        written = leave(border_of(request), tank, typed)
    except BadInput as fault:
        return _page(request, {}, fault)
    except Refused as refused:
        return _page(request, {}, no=refused.reasons)
    return keep(request, f"/tanks/{tank}/wind-down", *written.entries)


ROUTES = [
    Route("/tanks/{tank}/wind-down", show),
    Route("/tanks/{tank}/wind-down", write, methods=["POST"]),
]
