"""From the tanks to a sheet of cards, each with a square that opens the tank's page."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Protocol

import segno

from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer
from tankward.room.things import Tank
from tankward.show.words import cards as words
from tankward.show.words.room import Lives

from .records import Card, CardsSheet, Foot

QUIET = 4  # modules of white around a square, as its standard asks


class CardOf(Protocol):
    """One tank."""

    @property
    def tank(self) -> Tank: ...
    @property
    def water(self) -> Answer: ...
    @property
    def lives(self) -> Sequence[Lives]: ...
    @property
    def temp_c(self) -> Estimate | None: ...
    @property
    def state(self) -> str: ...
    @property
    def copper_kills(self) -> Sequence[str]: ...
    @property
    def unknown_kind(self) -> bool: ...


def cards_sheet(given: Sequence[CardOf], *, address: str, foot: Foot) -> CardsSheet:
    """The cards; `address` is that of the room, to which the path of a tank is added."""
    title = f"{given[0].tank.name}: card" if len(given) == 1 else words.TITLE
    return CardsSheet(
        title=title, foot=foot, cut=words.CUT, cards=tuple(_card(one, address) for one in given)
    )


def _card(one: CardOf, address: str) -> Card:
    url = f"{address}/tanks/{one.tank.id}"
    return Card(
        name=one.tank.name,
        water=words.water_words(one.water),
        warmth=words.warmth_words(one.temp_c),
        who=tuple(words.who(one.lives)),
        round=words.round_words(one.state),
        never=words.never_words(one.copper_kills, one.unknown_kind),
        url=url,
        qr=square(url),
        qr_says=words.QR_SAYS.format(url=url),
    )


def square(url: str) -> str:
    """A square to scan, as SVG in black on white; a quarter of it may be soiled."""
    drawn = io.BytesIO()
    segno.make(url, error="q", micro=False).save(
        drawn, kind="svg", border=QUIET, xmldecl=False, svgns=True, dark="#000", light="#fff"
    )
    return drawn.getvalue().decode()
