"""Room: the racks as they stand, and those that need a look; empty, what works at once."""

from __future__ import annotations

from datetime import datetime
from typing import ClassVar

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.several import shelves
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.room.holds import water_of
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.rounds.states import TankState, states
from tankward.show.drawings import drawn
from tankward.show.drawings.svg import Svg
from tankward.show.words.first import EMPTY_HEAD, EMPTY_SAYS
from tankward.show.words.states import heading, mark_of, row_words, who_words, word_of

from ..frame import Page, desk_of, now_of, page


class TankRow(Page, frozen=True, kw_only=True):
    """One tank in the list beside the drawing."""

    name: str
    head: str
    soft: str
    mark: str
    url: str


class RoomPage(Page, frozen=True, kw_only=True):
    """The racks and the list."""

    template: ClassVar[str] = "room.html"
    racks: Svg
    rows: list[TankRow]
    well: str
    empty: bool
    empty_says: str
    like: str  # the tank that one more may be like


def outline(room: Room, tank: str, facts: Facts) -> str:
    """The outline of the first fish that live there; of the first animals where there are no fish."""
    known = [(s, facts.animals[s.kind]) for s in room.stock_of(tank) if s.kind in facts.animals]
    for stock, animal in sorted(known, key=lambda pair: pair[1].kind != "fish"):
        livebearer = animal.group == "livebearer"
        return drawn.form_of(animal.body_shape, stock.sex, livebearer=livebearer)
    return ""


def rack_tank(room: Room, state: TankState, facts: Facts) -> drawn.RackTank:
    """One tank as the drawing wants it."""
    tank = room.tanks[state.tank]
    water = water_of(tank, room)
    width = tank.length_cm or tank.diameter_cm or 2 * (tank.side_cm or 0) or 40.0
    fill = tank.fill_cm
    return drawn.RackTank(
        name=tank.name,
        url=f"/tanks/{tank.id}",
        width_cm=width,
        height_cm=tank.height_cm or (fill or 25.0) + 4,
        water_cm=fill,
        sand=tank.substrate_cm > 0,
        mark=mark_of(state),
        mark_words=word_of(state) if mark_of(state) else "",
        litres=water.shown if water.value is not None else "",
        caption=(who_words(room.stock_of(tank.id)), word_of(state)),
        form=outline(room, tank.id, facts),
        empty=state.state == "empty",
        shelf=tank.shelf,
    )


def row_of(room: Room, state: TankState, facts: Facts, now: datetime) -> TankRow:
    tank = room.tanks[state.tank]
    head, soft = row_words(state, room.stock_of(tank.id), facts, now)
    return TankRow(
        title="", name=tank.name, head=head, soft=soft, mark=mark_of(state), url=f"/tanks/{tank.id}"
    )


def shelved(room: Room) -> list[Tank]:
    """The tanks as they stand, shelf by shelf."""
    return [t for row in shelves(room).values() for t in row]


def _place_line(room: Room) -> str:
    tanks = len(room.tanks)
    return "Your room" if not tanks else "1 tank" if tanks == 1 else f"{tanks} tanks"


async def show(request: Request) -> Response:
    room, now, facts = desk_of(request).room(), now_of(request), load()
    found = states(room, now)
    by_tank = {s.tank: s for s in found}
    tanks = [rack_tank(room, by_tank[t.id], facts) for t in shelved(room)]
    worrying = [s for s in found if s.state in ("sick", "watch", "unknown")]
    well = [room.tanks[s.tank].name for s in found if s.state in ("well", "empty")]
    record = RoomPage(
        title=heading(found, room) if room.tanks else EMPTY_HEAD,
        place_line=_place_line(room),
        empty_says="" if room.tanks else EMPTY_SAYS,
        like=next((t.id for t in reversed(shelved(room))), ""),
        racks=drawn.rack_views(tanks, "The tanks, drawn to scale"),
        rows=[row_of(room, s, facts, now) for s in worrying],
        well=", ".join(well),
        empty=not room.tanks,
    )
    return page(request, record)


ROUTES = [Route("/", show)]
