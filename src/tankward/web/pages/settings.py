"""Questions that hold for the whole room; each can be skipped, and what follows from that is said."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

import msgspec
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
    "metric": ("Litres and centimetres", {"metric": "yes"}),
    "us": ("US gallons and inches", {"metric": "no", "gallon": "US"}),
    "imp": ("Imperial gallons and inches", {"metric": "no", "gallon": "imp"}),
}
# In which degrees people measure who measure so, until they say otherwise.
DEGREES_OF = {"metric": "C", "us": "F", "imp": "C"}
DEGREES = (("C", "°C"), ("F", "°F"))
TAP = (
    ("chlorine", "Chlorine"), ("chloramine", "Chloramine"), ("none", "Neither: a well, or rain"),
    (UNSAID, "Don't know"),
)  # fmt: skip
REGIONS = (
    ("US", "United States"), ("UK", "United Kingdom"), ("EU", "European Union"), ("DE", "Germany"),
    ("other", "Elsewhere"), (UNSAID, "Don't say"),
)  # fmt: skip
PAPERS = (("a4", "A4"), ("letter", "Letter"), (UNSAID, "Don't know"))
COLOURS = ((UNSAID, "As the device has it"), ("day", "Always day"), ("night", "Always night"))
# Name of the question -> its answers; each is kept in the kit under that name.
PLAIN = {"degrees": DEGREES, "tap": TAP, "region": REGIONS, "paper": PAPERS, "colours": COLOURS}


class Asked(msgspec.Struct, frozen=True, kw_only=True):
    """One question: what is chosen, and what follows from leaving it."""

    name: str
    says: str
    hint: str
    chosen: str
    answers: tuple[tuple[str, str], ...]


class Settings(Page, frozen=True, kw_only=True):
    """The three questions, and how it looks."""

    template: ClassVar[str] = "settings.html"
    place: ClassVar[str] = "More"
    questions: list[Asked]
    untold: int  # tanks whose tap nobody told
    looks: list[Asked]


def units_of(room: Room) -> str:
    """The answer that holds: litres and centimetres until another was given."""
    taste = room.kit.taste
    if taste.metric:
        return "metric"
    return "imp" if taste.gallon == "imp" else "us"


def chosen(room: Room, name: str) -> str:
    """What was answered to a plain question; "" where nothing was."""
    if name == "degrees":
        return room.kit.taste.temperature
    return str(getattr(room.kit, name))


def questions_of(room: Room) -> list[Asked]:
    """The three questions and the degrees, with what follows from not answering."""
    return [
        Asked(
            name="units", says="How do you measure?", chosen=units_of(room),
            hint="Any number may be typed with its unit. Not said: litres and centimetres stand first, and a "
            "gallon is asked back, US or imperial.",
            answers=tuple((k, words) for k, (words, _) in UNITS.items()),
        ),
        Asked(
            name="degrees", says="Which degrees?", chosen=chosen(room, "degrees"),
            hint="They stand first where a temperature is asked. Answers are told in °C.", answers=DEGREES,
        ),
        Asked(
            name="tap", says="What is in your tap water?", chosen=room.kit.tap,
            hint="Your water company says so on its page or by telephone. New tanks take it over. Not known: "
            "every change is planned with dechlorinator, and what chloramine would add is not in the "
            "forecast.",
            answers=TAP,
        ),
        Asked(
            name="region", says="Whose law holds where you are?", chosen=room.kit.region,
            hint="It decides which medicines may be offered. Not said: the strictest.", answers=REGIONS,
        ),
    ]  # fmt: skip


def looks_of(room: Room) -> list[Asked]:
    """Paper and colours."""
    return [
        Asked(
            name="paper", says="Which paper is in your printer?", chosen=room.kit.paper,
            hint="Not said: Letter in the United States, A4 elsewhere.", answers=PAPERS,
        ),
        Asked(
            name="colours", says="Day or night?", chosen=room.kit.colours or UNSAID,
            hint="Night is dark, for a room where the lights are out.", answers=COLOURS,
        ),
    ]  # fmt: skip


def untold(room: Room) -> list[str]:
    return [t.id for t in room.tanks.values() if not t.tap]


async def show(request: Request) -> Response:
    room = desk_of(request).room()
    record = Settings(
        title="Three questions. Skip what you like.", place_line="Settings", questions=questions_of(room),
        untold=len(untold(room)), looks=looks_of(room),
    )  # fmt: skip
    return page(request, record)


def told(room: Room, typed: Mapping[str, str]) -> dict[str, str]:
    """What the answers change, as the border reads it."""
    texts: dict[str, str] = {}
    units = typed.get("units", "")
    if units in UNITS and units != units_of(room):
        texts |= UNITS[units][1] | {"degrees": DEGREES_OF[units]}
    for name, known in PLAIN.items():
        answer, before = typed.get(name, ""), chosen(room, name)
        if answer in dict(known) and answer != (before or UNSAID):
            texts[name] = answer
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
