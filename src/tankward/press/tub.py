"""The card of a hospital tub."""

from __future__ import annotations

from tankward.desk.sources import titles
from tankward.desk.tub import Tub, tub_wanted
from tankward.show.sheets.records import TubSheet
from tankward.show.sheets.tub import tub_sheet

from .sheet import Asked, Sheet


def worked(asked: Asked) -> Tub:
    """The tub that is asked about."""
    room = asked.desk.room()
    tank = asked.tank.id if asked.tank else ""
    return tub_wanted(room, tank, asked.typed, asked.now, asked.facts, room.kit.taste)


def record(asked: Asked) -> TubSheet:
    given = worked(asked)
    return tub_sheet(
        given,
        asked.facts,
        tank=asked.tank.name if asked.tank else "",
        sources=[title for _, title, _ in titles(given.answer.source_keys(), asked.facts) if title],
        now=asked.now,
        zone=asked.zone,
        foot=asked.foot("" if asked.tank else "Hospital tub, from no tank of this room"),
    )


SHEET = Sheet(
    name="tub",
    title="Hospital tub",
    use="to hang on the tub: litres, grams of fish, when to change half, what to put back",
    about="either",
    layout="tub",
    record=record,
    page="/tub",
    asks=(
        ("animals", "who goes in, like: 3 cherry barb 3 cm; 1 kuhli loach 6 cm"),
        ("fish", "or all of them weighed, like 4 g"),
        ("volume", "water in the tub"),
        ("food", "dry food a day as share of their weight, like 1 %"),
        ("protein", "protein in the food, from its packet"),
        ("ph", "pH of the tub or of the new water, whichever is higher"),
        ("temp", "warmth of the tub"),
        ("medicine", "what is in the tub"),
        ("level", "how strong it is, like 2 mg/L"),
        ("strength", "what is in one unit of the packet, like 90 mg per sachet"),
    ),
)
