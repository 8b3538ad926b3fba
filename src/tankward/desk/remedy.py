"""What can be done about a cause: for a tank of the room, or for what somebody tells; both faces ask here."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from typing import TypedDict

import msgspec

from tankward.judge.conditions import People
from tankward.judge.evidence import Evidence
from tankward.judge.finding import Finding
from tankward.judge.findings import Gate, findings, medicine_gate
from tankward.judge.germs import Germs, judge_germs
from tankward.judge.waterstate import said_water
from tankward.knowledge.find import find_one
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.replay import Room
from tankward.room.things import Stock, Tank
from tankward.treat.course.request import request_from_room
from tankward.treat.policy import REGIONS
from tankward.treat.remedies.options import options
from tankward.treat.remedies.records import Options, RuledOut

from .cases import PastCase, cases_of
from .examine import Examination, examine_tank
from .homes import home_for
from .walk import Read

YOUNG = ("fry", "egg")
MOST_IN_A_FIELD = 10_000.0
THIN_SAID = {"": None, "dont-know": None, "yes": True, "no": False}
MOVES = "move the "  # how a way out by moving somebody begins


class Remedies(msgspec.Struct, frozen=True, kw_only=True):
    """What is open and what is ruled out, with what it was judged against."""

    options: Options
    stock: tuple[Stock, ...]
    volume_l: Estimate | None
    region: str
    findings: tuple[Finding, ...]
    examined: Examination | None = None  # None: no sign was told, so no cause was weighed
    gone: tuple[str, ...] = ()
    homes: Mapping[str, str] = {}  # what is ruled out -> a tank that could take those it harms, by name
    germs: Mapping[str, Germs] = {}
    thin: bool | None = None
    past: tuple[PastCase, ...] = ()  # cases of the room that are over, the newest first

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


class Counted(TypedDict):
    """What was counted under the lens."""

    per_field: float | None
    thin: bool | None


def counted_said(number: str, thin: str) -> Counted:
    """A count of gut flagellates in one field, and whether the fish are thin.

    Raises
    ------
    BadInput
        For a number that is none, or an answer that is neither yes, no nor dont-know.
    """
    text = number.strip().replace(",", ".")
    try:
        per_field = float(text) if text else None
    except ValueError:
        raise BadInput(
            "per-field", number, "is no number. Write how many you saw in one field, like 12."
        ) from None
    if per_field is not None and not 0 <= per_field <= MOST_IN_A_FIELD:
        raise BadInput("per-field", number, f"can't be right: write 0 to {MOST_IN_A_FIELD:.0f}.")
    answer = thin.strip().lower()
    if answer not in THIN_SAID:
        raise BadInput("thin", thin, "is neither yes, no nor dont-know.")
    return Counted(per_field=per_field, thin=THIN_SAID[answer])


def remedies_tank(
    room: Room,
    tank: str,
    causes: Sequence[str],
    now: datetime,
    facts: Facts,
    *,
    gone: Collection[str] = (),
    people: People | None = None,
    per_field: float | None = None,
    thin: bool | None = None,
) -> Remedies:
    """What can be done in a tank of the room, with all that its logbook says."""
    examined = examine_tank(room, tank, now, facts, looks_too=False)
    request = request_from_room(room, tank, facts, now)
    thin = thin if thin is not None else thin_of(examined.evidence)
    germs = _germs(per_field, thin, examined)
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
        given=Counter(b.substance for b in request.before),
        seen_cause=request.seen_cause,
        germs=germs,
    )
    return Remedies(
        options=found, stock=request.stock, volume_l=request.volume_l, region=room.kit.region,
        findings=examined.findings, examined=examined, gone=tuple(gone), germs=germs, thin=thin,
        homes=homes(found.ruled_out, room, tank, now, facts), past=cases_of(room, now, "UTC"),
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
    per_field: float | None = None,
    thin: bool | None = None,
) -> Remedies:
    """What can be done for what somebody tells; an examination brings the signs and the likely causes."""
    stock, volume = told.stock, told.volume_l
    water = examined.water if examined else said_water(told.readings, facts, stock, volume)
    in_water = examined.findings if examined else findings(water, facts)
    thin = thin if thin is not None or examined is None else thin_of(examined.evidence)
    germs = _germs(per_field, thin, examined)
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
        germs=germs,
    )
    return Remedies(
        options=found, stock=stock, volume_l=volume, region=region, findings=tuple(in_water),
        examined=examined, gone=tuple(gone), germs=germs, thin=thin,
    )  # fmt: skip


COUNTED = "hexamita"  # the cause that a number typed with the question is about


def _germs(per_field: float | None, thin: bool | None, examined: Examination | None) -> dict[str, Germs]:
    """What was counted: as typed, else by the logbook's newest counts."""
    if per_field is not None:
        return {COUNTED: judge_germs(per_field, thin)}
    rows = examined.counted if examined else ()
    most: dict[str, float] = {}
    for row in rows:
        most[row.cause] = max(row.number, most.get(row.cause, 0.0))
    return {cause: judge_germs(number, thin) for cause, number in most.items() if cause}


THIN = ("belly_sunken", "back_thin", "eats_but_thin")


def thin_of(evidence: Evidence) -> bool | None:
    """Whether they are thin, by the signs; None where nobody looked."""
    if set(THIN) & set(evidence.seen):
        return True
    return False if set(THIN) & set(evidence.absent) else None


def homes(closed: Sequence[RuledOut], room: Room, tank: str, now: datetime, facts: Facts) -> dict[str, str]:
    """For each remedy that harms somebody a tank of the room that could take them, where there is one."""
    found: dict[tuple[str, ...], Tank | None] = {}
    named: dict[str, str] = {}
    for row in closed:
        who = tuple(
            dict.fromkeys(name for r in row.reasons if r.would_change.startswith(MOVES) for name in r.who)
        )
        if who and who not in found:
            found[who] = home_for(room, tank, who, now, facts)
        if who and (home := found[who]) is not None:
            named[row.id] = home.name
    return named
