"""What somebody tells without a room: signs, who lives there, the water; read once for every page."""

from __future__ import annotations

from typing import Literal

import msgspec

from tankward.judge.breathing import COUNTS_IN_MINUTE, Breathing, breathing
from tankward.judge.breathing import SIGN as FAST_GILLS
from tankward.judge.from_room import THIN_BELLY, share_of
from tankward.knowledge.find import find_sign
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput, gathered
from tankward.quantities.parse import Estimate, Taste, is_unknown, number, quantity
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
    counts: tuple[tuple[str, str], ...] = ()  # sign -> fish that show it
    looked_at: str = ""  # how many fish were looked at
    belly: str = ""  # 1 hollow to 5 round
    beats: str = ""  # of the gill covers in 15 s, the one that breathes worst
    beats_well: str = ""  # the same of one that looks well
    eating: str = ""  # yes, less, no; "unsure" was answered and tells nothing
    onset: str = ""  # hours, days, weeks; "unsure" was answered and tells nothing
    share: str = ""  # one, some, most; "unsure"
    history: str = ""
    animals: str = ""
    volume: str = ""
    water: str = ""
    region: str = ""
    gone: tuple[str, ...] = ()  # "fry", "egg": said not to be there
    asked: tuple[str, ...] = ()  # what was asked one by one, answered or skipped, in that order

    def how(self, sign: str) -> How | Literal[""]:
        """What was said of a sign; "" where it was not looked for."""
        for state in ("seen", "absent", "unsure"):
            if sign in getattr(self, state):
                return state
        return ""

    @property
    def answers(self) -> tuple[str, str]:
        """How fast and how many, "" where it is not known; how many also by the counts."""
        onset, share = (("" if x == "unsure" else x) for x in (self.onset, self.share))
        return onset, share or share_of(counted(self.looked_at, "looked-at"), self.shown)

    @property
    def shown(self) -> dict[str, float]:
        """How many fish show a sign, where they were counted."""
        found = {sign: counted(text, COUNTS) for sign, text in self.counts}
        return {sign: n for sign, n in found.items() if n is not None}


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
    faults = count_faults(walk)
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


def count_faults(walk: Walk) -> list[BadInput]:
    """One for each count that can't be read, by the name of its field."""
    texts = [("looked-at", walk.looked_at), ("beats", walk.beats), ("beats-well", walk.beats_well)]
    faults = []
    for field, text in [*texts, *((f"n-{sign}", text) for sign, text in walk.counts)]:
        try:
            counted(text, field)
        except BadInput as fault:
            faults.append(fault)
    return faults


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


def counted(text: str, field: str = "beats") -> float | None:
    """A count as typed: beats in 15 s, or fish; None where it is not known.

    Raises
    ------
    BadInput
        For what is no number, nothing at all, or more than anybody counts.
    """
    if not text.strip() or is_unknown(text):
        return None
    found = float(number(text, field))
    if not 0.0 < found <= MOST_COUNTED:
        raise BadInput(field, text, f"can't be counted: write a number from 1 to {MOST_COUNTED}.")
    return found


COUNTS = "counts"
MOST_COUNTED = 150  # beats in 15 s, ten a second; or fish that somebody looked at one by one


def breathes(walk: Walk, facts: Facts) -> Breathing:
    """The gill beats that were counted, a minute."""
    worst, well = counted(walk.beats), counted(walk.beats_well, "beats-well")
    minute = [None if x is None else x * COUNTS_IN_MINUTE for x in (worst, well)]
    return breathing(minute[0], minute[1], facts)


def with_measures(walk: Walk, facts: Facts) -> Walk:
    """Belly score, appetite and gill beats are signs too, unless the sign itself was answered."""
    measured = {FAST_GILLS: breathes(walk, facts).sign}
    if walk.belly.isdigit():
        measured["belly_sunken"] = "seen" if int(walk.belly) <= THIN_BELLY else "absent"
    if walk.eating in ("yes", "no"):
        measured["no_appetite"] = "seen" if walk.eating == "no" else "absent"
    for sign, key in measured.items():
        if key and not walk.how(sign):
            walk = msgspec.structs.replace(walk, **{key: (*getattr(walk, key), sign)})
    return walk


def examine_walk(walk: Walk, told: Read, facts: Facts) -> Examination:
    """The examination of what was told.

    Raises
    ------
    BadInput
        For a past that is not known here.
    """
    walk = with_measures(walk, facts)
    onset, share = walk.answers
    return examine_said(
        list(walk.seen), list(walk.absent), facts, unsure=list(walk.unsure), readings=told.readings,
        stock=list(told.stock), history=walk.history, onset=onset, share=share,
        volume_l=told.volume_l,
    )  # fmt: skip
