"""What somebody tells without a room: signs, who lives there, the water; read once for every page."""

from __future__ import annotations

from typing import Literal

import msgspec

from tankward.judge.from_room import THIN_BELLY
from tankward.knowledge.find import find_sign
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput, gathered
from tankward.quantities.parse import Estimate, Taste, is_unknown, quantity
from tankward.room.lists import words
from tankward.room.things import Reading, Stock

from . import said
from .examine import Examination, examine_said

How = Literal["seen", "absent", "unsure"]


class Walk(msgspec.Struct, frozen=True, kw_only=True):
    """As it was typed and touched; "" is not told."""

    seen: tuple[str, ...] = ()
    absent: tuple[str, ...] = ()
    unsure: tuple[str, ...] = ()
    belly: str = ""  # 1 hollow to 5 round
    onset: str = ""  # hours, days, weeks; "unsure" was answered and tells nothing
    share: str = ""  # one, some, most; "unsure"
    history: str = ""
    animals: str = ""
    volume: str = ""
    water: str = ""
    region: str = ""
    gone: tuple[str, ...] = ()  # "fry", "egg": said not to be there

    def how(self, sign: str) -> How | Literal[""]:
        """What was said of a sign; "" where it was not looked for."""
        for state in ("seen", "absent", "unsure"):
            if sign in getattr(self, state):
                return state
        return ""

    @property
    def answers(self) -> tuple[str, str]:
        """How fast and how many, "" where it is not known."""
        return ("" if self.onset == "unsure" else self.onset), ("" if self.share == "unsure" else self.share)


class Read(msgspec.Struct, frozen=True, kw_only=True):
    """The same, read."""

    stock: tuple[Stock, ...]
    volume_l: Estimate | None
    readings: tuple[Reading, ...]


def read(walk: Walk, facts: Facts, taste: Taste | None = None) -> Read:
    """Animals, litres and readings.

    Raises
    ------
    BadInputs
        For each of them that can't be read, by the name of its field.
    """
    faults: list[BadInput] = []
    stock: list[Stock] = []
    volume: Estimate | None = None
    readings: tuple[Reading, ...] = ()
    try:
        stock = said.animals(walk.animals, facts, taste)
    except BadInput as fault:
        faults.append(fault)
    try:
        volume = litres(walk.volume, taste)
    except BadInput as fault:
        faults.append(fault)
    try:
        readings = said.water(walk.water, taste)
    except BadInput as fault:
        faults.append(BadInput("water", fault.given, fault.accepted))
    gathered(faults)
    return Read(stock=tuple(stock), volume_l=volume, readings=readings)


def litres(text: str, taste: Taste | None = None) -> Estimate | None:
    """Litres as typed; None where they are not known."""
    if not text.strip() or is_unknown(text):
        return None
    found = quantity(text, "volume", "volume", taste or Taste()).estimate
    if found.value <= 0.0:
        raise BadInput("volume", text, "can't be right: it must be more than nothing.")
    return found


def signs(texts: list[str], facts: Facts) -> tuple[str, ...]:
    """Ids of signs, typed in plain words and parted by commas."""
    return tuple(dict.fromkeys(find_sign(facts, word, "seen") for text in texts for word in words(text)))


def with_belly(walk: Walk) -> Walk:
    """The belly score is a sign too, unless the sign itself was answered."""
    if not walk.belly or walk.how("belly_sunken"):
        return walk
    thin = walk.belly.isdigit() and int(walk.belly) <= THIN_BELLY
    key = "seen" if thin else "absent"
    return msgspec.structs.replace(walk, **{key: (*getattr(walk, key), "belly_sunken")})


def examine_walk(walk: Walk, told: Read, facts: Facts) -> Examination:
    """The examination of what was told.

    Raises
    ------
    BadInput
        For a past that is not known here.
    """
    walk = with_belly(walk)
    onset, share = walk.answers
    return examine_said(
        list(walk.seen), list(walk.absent), facts, unsure=list(walk.unsure), readings=told.readings,
        stock=list(told.stock), history=walk.history, onset=onset, share=share,
        volume_l=told.volume_l,
    )  # fmt: skip
