"""Room: the racks as they stand, and those that need a look; empty, what works at once."""

from __future__ import annotations

from collections.abc import Sequence
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
from tankward.room.things import Stock, Tank
from tankward.rounds.heads import heads_of
from tankward.rounds.round import looked_today
from tankward.rounds.states import TankState, states
from tankward.rounds.steps import steps_today
from tankward.rounds.watch import open_watches
from tankward.show.drawings import drawn
from tankward.show.drawings.svg import Svg
from tankward.show.words.first import EMPTY_HEAD, EMPTY_SAYS
from tankward.show.words.states import (
    heading,
    mark_of,
    place_words,
    row_words,
    well_words,
    who_short,
    who_words,
    word_of,
)
from tankward.show.words.today import step_act

from ..frame import Page, desk_of, now_of, page

WORRYING = ("sick", "watch", "unknown")


class TankRow(Page, frozen=True, kw_only=True):
    """One tank in the list beside the drawing."""

    name: str
    head: str
    text: str
    soft: str
    mark: str
    url: str


class RoomPage(Page, frozen=True, kw_only=True):
    """The racks and the list."""

    template: ClassVar[str] = "room.html"
    racks: Svg
    key: list[tuple[str, str]]
    rows: list[TankRow]
    well: str
    well_count: str
    empty: bool
    empty_says: str
    like: str  # the tank that one more may be like
    lives: bool  # whether there is anybody to move


def outline(room: Room, tank: str, facts: Facts) -> str:
    """The outline of the first fish that live there; of the first animals where there are no fish."""
    known = [(s, facts.animals[s.kind]) for s in room.stock_of(tank) if s.kind in facts.animals]
    for stock, animal in sorted(known, key=lambda pair: pair[1].kind != "fish"):
        livebearer = animal.group == "livebearer"
        return drawn.form_of(animal.body_shape, stock.sex, livebearer=livebearer)
    return ""


def animals_of(room: Room, tank: str, facts: Facts) -> list[Stock]:
    """The animals of a tank, fish first."""
    return [h.stock for h in heads_of(room, tank, facts)]


def rack_tank(room: Room, state: TankState, facts: Facts) -> drawn.RackTank:
    """One tank as the drawing wants it."""
    tank = room.tanks[state.tank]
    water = water_of(tank, room)
    width = tank.length_cm or tank.diameter_cm or 2 * (tank.side_cm or 0) or 40.0
    fill = tank.fill_cm
    animals = animals_of(room, tank.id, facts)
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
        caption=(who_words(animals), word_of(state)) if animals else ("empty",),
        short=who_short(animals),
        form=outline(room, tank.id, facts),
        empty=state.state == "empty",
        shelf=tank.shelf,
    )


def row_of(room: Room, state: TankState, facts: Facts, now: datetime, zone: str) -> TankRow:
    tank = room.tanks[state.tank]
    head, text, soft = row_words(state, animals_of(room, tank.id, facts), room, facts, now, zone)
    step = next((s for s in steps_today(room, now, zone, facts) if s.tank == tank.id and not s.entry), None)
    if step is not None:
        text = step_act(step, zone, facts)
    water = water_of(tank, room)
    litres = f", {water.shown}" if water.value is not None else ""
    return TankRow(
        title="", name=tank.name, head=head, text=text, soft=f"{soft}{litres}", mark=mark_of(state),
        url=f"/tanks/{tank.id}",
    )  # fmt: skip


def shelved(room: Room) -> list[Tank]:
    """The tanks as they stand, shelf by shelf."""
    return [t for row in shelves(room).values() for t in row]


def _key(found: Sequence[TankState]) -> list[tuple[str, str]]:
    """What the marks in the drawing mean, those that stand in it."""
    words = {
        "sick": ("danger", "sick"),
        "watch": ("caution", "watch it"),
        "unknown": ("unknown", "not known"),
    }
    there = {s.state for s in found}
    return [mark for state, mark in words.items() if state in there]


async def show(request: Request) -> Response:
    room, now, facts = desk_of(request).room(), now_of(request), load()
    zone = str(request.app.state.zone)
    found = states(room, now, open_watches(room, now, zone, facts))
    by_tank = {s.tank: s for s in found}
    tanks = [rack_tank(room, by_tank[t.id], facts) for t in shelved(room)]
    well = [by_tank[t.id] for t in shelved(room) if by_tank[t.id].state not in WORRYING]
    looks = [s.at for s in well if s.state == "well" and s.at is not None]
    record = RoomPage(
        title=heading(found, room, facts) if room.tanks else EMPTY_HEAD,
        place_line=place_words(len(room.tanks), len(looked_today(room, now, zone))),
        empty_says="" if room.tanks else EMPTY_SAYS,
        like=next((t.id for t in reversed(shelved(room))), ""),
        racks=drawn.rack_views(tanks, "The tanks, drawn to scale"),
        key=_key(found),
        rows=[row_of(room, s, facts, now, zone) for s in found if s.state in WORRYING],
        well=well_words(
            [(room.tanks[s.tank].name, s.state == "empty") for s in well], min(looks, default=None), now
        ),
        well_count="1 tank" if len(well) == 1 else f"{len(well)} tanks",
        empty=not room.tanks,
        lives=any(room.stock_of(t) for t in room.tanks),
    )
    return page(request, record)


ROUTES = [Route("/", show)]
