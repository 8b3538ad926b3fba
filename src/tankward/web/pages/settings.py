"""Three questions that hold for the whole room; each can be skipped, and none is asked twice."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.border import Border
from tankward.room.entries.base import Entry
from tankward.room.replay import Room

from ..border import border_of
from ..frame import Page, desk_of, keep, page, read_form, see_other

UNSAID = "dont-know"
UNITS = {
    "metric": ("Litres, centimetres, °C", {"metric": "yes", "degrees": "C"}),
    "us": ("US gallons, inches, °F", {"metric": "no", "degrees": "F", "gallon": "US"}),
    "imp": ("Imperial gallons, inches, °C", {"metric": "no", "degrees": "C", "gallon": "imp"}),
}
TAP = (
    ("chlorine", "Chlorine"), ("chloramine", "Chloramine"), ("none", "Neither: a well, or rain"),
    (UNSAID, "Don't know"),
)  # fmt: skip
REGIONS = (
    ("US", "United States"), ("UK", "United Kingdom"), ("EU", "European Union"), ("DE", "Germany"),
    ("other", "Elsewhere"), (UNSAID, "Don't say"),
)  # fmt: skip


class Settings(Page, frozen=True, kw_only=True):
    """Units, tap, region."""

    template: ClassVar[str] = "settings.html"
    place: ClassVar[str] = "More"
    units: str
    unit_answers: tuple[tuple[str, str], ...]
    tap: str
    taps: tuple[tuple[str, str], ...]
    untold: int  # tanks whose tap nobody told
    region: str
    regions: tuple[tuple[str, str], ...]


def units_of(room: Room) -> str:
    """The answer that fits what was told; "" where none was."""
    taste = room.kit.taste
    if taste == type(taste)():
        return ""
    return "metric" if taste.metric else "imp" if taste.gallon == "imp" else "us"


def untold(room: Room) -> list[str]:
    return [t.id for t in room.tanks.values() if not t.tap]


async def show(request: Request) -> Response:
    room = desk_of(request).room()
    record = Settings(
        title="Three questions. Skip what you like.", place_line="Settings",
        units=units_of(room), unit_answers=tuple((k, words) for k, (words, _) in UNITS.items()),
        tap=room.kit.tap, taps=TAP, untold=len(untold(room)), region=room.kit.region, regions=REGIONS,
    )  # fmt: skip
    return page(request, record)


def told(room: Room, typed: Mapping[str, str]) -> dict[str, str]:
    """What the answers change, as the border reads it."""
    texts: dict[str, str] = {}
    if typed.get("units", "") in UNITS and typed["units"] != units_of(room):
        texts |= UNITS[typed["units"]][1]
    for key, known in (("tap", TAP), ("region", REGIONS)):
        answer, before = typed.get(key, ""), getattr(room.kit, key)
        if answer in dict(known) and answer != (before or UNSAID):
            texts[key] = answer
    return texts


def entries_of(border: Border, texts: Mapping[str, str], every_tank: bool) -> list[Entry]:
    """The kit anew, and the tap of tanks that say nothing of theirs."""
    entries: list[Entry] = list(border.kit(texts).entries) if texts else []
    tap = texts.get("tap", border.room.kit.tap)
    if every_tank and tap and tap != UNSAID:
        for tank in untold(border.room):
            entries += border.tank_changed(tank, {"tap": tap}).entries
    return entries


async def write(request: Request) -> Response:
    typed, room = await read_form(request), desk_of(request).room()
    entries = entries_of(border_of(request), told(room, typed), typed.get("every-tank") == "yes")
    where = "/settings" if room.tanks else "/"
    return keep(request, where, *entries) if entries else see_other(where)


ROUTES = [Route("/settings", show), Route("/settings", write, methods=["POST"])]
