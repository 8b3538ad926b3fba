"""What can be done about a cause: for a tank of the room, or for what somebody tells; both faces ask here."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime

import msgspec

from tankward.judge.conditions import People
from tankward.judge.finding import Finding
from tankward.judge.findings import Gate, findings, medicine_gate
from tankward.judge.waterstate import said_water
from tankward.knowledge.find import find_one
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.replay import Room
from tankward.room.things import Stock
from tankward.treat.course.request import request_from_room
from tankward.treat.policy import REGIONS
from tankward.treat.remedies.options import options
from tankward.treat.remedies.records import Options

from .examine import Examination, examine_tank
from .walk import Read

YOUNG = ("fry", "egg")


class Remedies(msgspec.Struct, frozen=True, kw_only=True):
    """What is open and what is ruled out, with what it was judged against."""

    options: Options
    stock: tuple[Stock, ...]
    volume_l: Estimate | None
    region: str
    findings: tuple[Finding, ...]
    examined: Examination | None = None  # None: no sign was told, so no cause was weighed
    gone: tuple[str, ...] = ()

    @property
    def gate(self) -> Gate:
        """Whether a medicine may be thought of as the water stands."""
        return medicine_gate(self.findings)


def causes_named(texts: Sequence[str], facts: Facts) -> tuple[str, ...]:
    """Ids of causes, by id or in plain words.

    Raises
    ------
    BadInput
        Where none is named, or one is not known.
    """
    named = [t for text in texts for t in text.split(",") if t.strip()]
    if not named:
        raise BadInput("cause", "", "is empty. Name one, like white_spot; tankward facts lists them.")
    return tuple(dict.fromkeys(find_one(facts, "cause", t) for t in named))


def region_named(text: str) -> str:
    """A region; "" is not known and counts as the strictest.

    Raises
    ------
    BadInput
        For any other word.
    """
    word = text.strip()
    if not word or word.lower() in ("dont-know", "don't know", "unknown"):
        return ""
    known = {r.lower(): r for r in REGIONS}
    if word.lower() not in known:
        raise BadInput("region", text, f"is not one of {', '.join(REGIONS)}, dont-know.")
    return known[word.lower()]


def young_named(texts: Sequence[str], field: str = "gone") -> tuple[str, ...]:
    """Young that are said not to be there; a fault names the field in which they were written.

    Raises
    ------
    BadInput
        For anything but fry and eggs.
    """
    words = [w.strip().lower().removesuffix("s") for text in texts for w in text.split(",") if w.strip()]
    for word in words:
        if word not in YOUNG:
            raise BadInput(field, word, "is neither fry nor eggs.")
    return tuple(dict.fromkeys(words))


def remedies_tank(
    room: Room,
    tank: str,
    causes: Sequence[str],
    now: datetime,
    facts: Facts,
    *,
    gone: Collection[str] = (),
    people: People | None = None,
) -> Remedies:
    """What can be done in a tank of the room, with all that its logbook says."""
    examined = examine_tank(room, tank, now, facts)
    request = request_from_room(room, tank, facts, now)
    found = options(
        causes,
        request.stock,
        facts,
        volume_l=request.volume_l,
        water=examined.water,
        region=room.kit.region,
        shelf=request.shelf,
        still_in=request.still_in,
        findings=examined.findings,
        ranking=examined.ranking if examined.evidence.seen else None,
        seen=examined.evidence.seen,
        trials=request.trials,
        not_there=gone,
        people=people,
    )
    return Remedies(
        options=found, stock=request.stock, volume_l=request.volume_l, region=room.kit.region,
        findings=examined.findings, examined=examined, gone=tuple(gone),
    )  # fmt: skip


def remedies_said(
    causes: Sequence[str],
    told: Read,
    facts: Facts,
    *,
    region: str = "",
    gone: Collection[str] = (),
    people: People | None = None,
    examined: Examination | None = None,
) -> Remedies:
    """What can be done for what somebody tells; an examination brings the signs and the likely causes."""
    stock, volume = told.stock, told.volume_l
    water = examined.water if examined else said_water(told.readings, facts, stock, volume)
    in_water = examined.findings if examined else findings(water, facts)
    found = options(
        causes,
        stock,
        facts,
        volume_l=volume,
        water=water,
        region=region,
        findings=in_water,
        ranking=examined.ranking if examined else None,
        seen=examined.evidence.seen if examined else (),
        not_there=gone,
        people=people,
    )
    return Remedies(
        options=found, stock=stock, volume_l=volume, region=region, findings=tuple(in_water),
        examined=examined, gone=tuple(gone),
    )  # fmt: skip
