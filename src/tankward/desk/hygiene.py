"""How nets and tools are made clean: of which germ, with the keeper's own bleach, in how much water."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

import msgspec

from tankward.knowledge.find import find_cause
from tankward.knowledge.known import Facts
from tankward.knowledge.records.base import Status
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Taste, is_unknown, quantity
from tankward.quantities.working import Answer
from tankward.room.replay import Room
from tankward.treat.amounts.net_bath import (
    GENERAL,
    GERM_OF_CAUSE,
    MYCOBACTERIA,
    WASTING,
    WORM_EGGS,
    NetBath,
    NetPlan,
    germ_of,
    net_plan,
)

from .calculations import CALCULATIONS
from .examine import examine_tank

KEYS = ("against", "strength", "volume")
GERMS = (GENERAL, WASTING, WORM_EGGS, MYCOBACTERIA)
USUAL_STRENGTH = "5 %"
USUAL_VOLUME = "1 L"
LIKELY = 0.05  # causes above it stay open: rule 8
BLEACH = "sodium_hypochlorite"


class Hygiene(msgspec.Struct, frozen=True, kw_only=True):
    """A way of making clean, with its amounts."""

    germ: str
    causes: tuple[str, ...]  # open in the tank; () where none was asked about
    plan: NetPlan
    bleach: NetBath
    strength: str  # as typed
    volume_l: float
    strength_known: bool
    amount: Answer  # of `calc bleach`
    alcohol: tuple[float, float, str, str]  # per cent, minutes, source, status
    clean_first: tuple[str, Status]


def hygiene_wanted(
    room: Room, tank: str, typed: Mapping[str, str], now: datetime, facts: Facts, taste: Taste
) -> Hygiene:
    """What was asked for.

    Parameters
    ----------
    room : Room
        Where the tank stands.
    tank : str
        The tank whose net it is: its open causes decide the germ; "" for none.
    typed : mapping
        `against`: general, wasting, worm_eggs, mycobacteria or a cause; `strength`: of the bleach bottle;
        `volume`: of the bath.
    now : datetime
        The moment.
    facts : Facts
        The facts.
    taste : Taste
        The keeper's units.

    Raises
    ------
    BadInput
        If a word or a number can't be read.
    """
    told = {k: v.strip() for k, v in typed.items() if v.strip() and not is_unknown(v)}
    causes = _open(room, tank, now, facts) if tank and "against" not in told else ()
    germ = _germ(told["against"], facts) if "against" in told else _of(causes)
    strength, volume = told.get("strength", USUAL_STRENGTH), told.get("volume", USUAL_VOLUME)
    plan = net_plan(germ, facts, 1.0)
    bleach = next(b for b in plan.baths if b.substance == BLEACH)
    amount = CALCULATIONS["bleach"].run(
        {"strength": strength, "target": f"{bleach.high:g} mg/L", "volume": volume}, taste
    )
    rule = next(r for r in facts.hygiene.disinfection_rule if r.id == "clean_first")
    return Hygiene(
        germ=germ,
        causes=causes,
        plan=plan,
        bleach=bleach,
        strength=strength,
        volume_l=quantity(volume, "volume", "volume", taste).value,
        strength_known="strength" in told,
        amount=amount,
        alcohol=_alcohol(facts),
        clean_first=(rule.source, rule.status),
    )


def _open(room: Room, tank: str, now: datetime, facts: Facts) -> tuple[str, ...]:
    """What may be in the tank: causes that are not unlikely, where something was seen."""
    found = examine_tank(room, tank, now, facts)
    if not found.evidence.seen:
        return ()
    return tuple(r.id for r in found.ranking.ranked if r.value > LIKELY and not r.water)


def _of(causes: tuple[str, ...]) -> str:
    return germ_of(causes) if causes else GENERAL


def _germ(words: str, facts: Facts) -> str:
    if words in GERMS:
        return words
    try:
        cause = find_cause(facts, words)
    except BadInput:
        raise BadInput("against", words, f"is no cause here and not one of {', '.join(GERMS)}.") from None
    return GERM_OF_CAUSE.get(cause, GENERAL)


def _alcohol(facts: Facts) -> tuple[float, float, str, str]:
    row = next(r for r in facts.substances["ethanol"].regimen if r.id == "tools")
    return float(row.high or 0.0), round(60 * float(row.duration_h_high or 0.0)), row.source, row.status
