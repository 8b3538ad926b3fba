"""The cards of the tanks."""

from __future__ import annotations

from tankward.desk.cards import cards_of
from tankward.quantities.faults import BadInput
from tankward.show.sheets.cards import cards_sheet
from tankward.show.sheets.records import CardsSheet

from .sheet import Asked, Sheet

USUAL = "http://127.0.0.1:8765"  # of `tankward start`, where the room is not served now
SCHEMES = ("http://", "https://")


def address_of(asked: Asked) -> str:
    """What the squares open: as typed, else as the room is served, else as it is usually served.

    Raises
    ------
    BadInput
        If it is no address.
    """
    typed = asked.typed.get("address", "").strip().rstrip("/")
    if typed and not typed.startswith(SCHEMES):
        raise BadInput("address", typed, "is no address. Write it like http://192.168.1.20:8765.")
    return typed or asked.address or USUAL


def record(asked: Asked) -> CardsSheet:
    """One tank's card, else those of all."""
    room = asked.desk.room()
    if not room.tanks:
        raise BadInput("tank", "", "is missing: no tank is written down yet.")
    tanks = (asked.tank.id,) if asked.tank else tuple(room.tanks)
    return cards_sheet(
        cards_of(room, tanks, asked.now, asked.facts),
        address=address_of(asked),
        foot=asked.foot("" if asked.tank else "All tanks"),
    )


SHEET = Sheet(
    name="tank",
    also=("tanks",),
    title="Tank cards",
    use="to cut out and stick on: litres, who lives there, never copper, a square that opens the page",
    about="either",
    layout="cards",
    record=record,
    page="/cards",
    asks=(("address", "what the squares open, like http://192.168.1.20:8765"),),
)
