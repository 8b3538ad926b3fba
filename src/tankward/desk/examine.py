"""The examination: what must be done at once, the water, what it may be, what to look at next.

For a tank of the room, or for what somebody says in one line; both faces ask here.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import msgspec

from tankward.judge.causes import Ranking, causes
from tankward.judge.evidence import Evidence
from tankward.judge.finding import Finding
from tankward.judge.findings import Gate, findings, medicine_gate
from tankward.judge.first_aid import dechlorinator
from tankward.judge.from_room import LOOKS_D, room_evidence
from tankward.judge.laboratory import WORTH_SENDING, Sent, sent_away
from tankward.judge.network_of import network_of
from tankward.judge.next_look import NextLook, deciding, next_look
from tankward.judge.told import evidence_of, with_water
from tankward.judge.under_lens import Counted, counted
from tankward.judge.urgent import Told, Urgent, urgent
from tankward.judge.vet import Vet, see_vet
from tankward.judge.waiting import may_wait, wait_and_count
from tankward.judge.waterstate import WaterState, said_water, water_state
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.quantities.parse import Estimate
from tankward.room.acts import Change, Dose
from tankward.room.replay import Room
from tankward.room.things import Reading, Stock
from tankward.room.time import hours_between

LIKELY = 0.66  # from here on a cause is named alone, and what speaks against it is looked for
EVERY_LOOK = 1000  # all of them; the first are picked from them
MOST_LENS = 3
DECHLORINATOR = "sodium_thiosulfate"
MOST_OF_IT = 0.75  # of what is meant for the whole tank, so that a rounded weight counts [our own choice]
BIG_CHANGE = 0.4  # share from which a change counts as a big one (our own choice, common practice)


class Examination(msgspec.Struct, frozen=True, kw_only=True):
    """All that can be said before anything is done."""

    evidence: Evidence
    water: WaterState
    findings: tuple[Finding, ...]
    gate: Gate
    urgent: Urgent | None
    ranking: Ranking
    next_look: tuple[NextLook, ...]
    lens: tuple[NextLook, ...] = ()  # the same with a microscope, the most telling first
    wait: NextLook | None = None  # a day, then a second count; None where nobody may wait, or it tells little
    counted: tuple[Counted, ...] = ()  # germs under the microscope, within a week
    sent: tuple[Sent, ...] = ()  # what only a laboratory or a veterinarian can tell
    vet: Vet


def examine_said(
    seen: list[str],
    absent: list[str],
    facts: Facts,
    *,
    unsure: Sequence[str] = (),
    readings: tuple[Reading, ...] = (),
    stock: list[Stock] | None = None,
    history: str = "",
    onset: str = "",
    share: str = "",
    volume_l: Estimate | None = None,
) -> Examination:
    """The examination of what somebody says; no room is needed.

    Raises
    ------
    BadInput
        For a word that is not known.
    """
    said = evidence_of(
        seen, absent, facts, unsure=unsure, history=history, animals=stock or [], onset=onset, share=share
    )
    state = said_water(readings, facts, stock or [], volume_l)
    told = Told(volume_l=volume_l, ph=_value(state, "ph"))
    return _examine(said, state, told, facts)


def examine_tank(
    room: Room, tank: str, now: datetime, facts: Facts, *, looks_too: bool = True
) -> Examination:
    """The examination of a tank of the room, with all that its logbook says.

    Without `looks_too` no look is weighed: what can be done needs none, and it is half of the work.
    """
    state = water_state(room, tank, now, facts)
    said = room_evidence(room, tank, facts, now)
    found = _examine(said, state, told_of(room, tank, state, now), facts, looks_too=looks_too)
    looks = [x for x in room.looks(tank) if 0.0 <= hours_between(x.at, now) <= 24.0 * LOOKS_D]
    return msgspec.structs.replace(found, counted=counted(looks, facts))


def _examine(
    said: Evidence, state: WaterState, told: Told, facts: Facts, *, looks_too: bool = True
) -> Examination:
    found = findings(state, facts, seen=said.seen)
    evidence = with_water(said, state, found, facts)
    network = network_of(facts)
    ranking = causes(evidence, network)
    first = ranking.ranked[0]
    looks = next_look(evidence, network, facts, most=EVERY_LOOK) if looks_too else ()
    acute = urgent(said.seen, told, facts, found=found)
    gate = medicine_gate(found)
    return Examination(
        evidence=evidence,
        water=state,
        findings=found,
        gate=gate,
        urgent=acute,
        ranking=ranking,
        next_look=deciding(looks, against=network.cause(first.id).against if first.value > LIKELY else ()),
        lens=_by_lens(looks) if evidence.seen else (),
        wait=wait_and_count(evidence, network)
        if may_wait(ranking.ranked, acute, gate) and looks_too
        else None,
        sent=sent_away(evidence, network) if looks_too else (),
        vet=see_vet(ranking.ranked, facts),
    )


def _by_lens(looks: Sequence[NextLook]) -> tuple[NextLook, ...]:
    """Those that need a sample, by what a minute tells."""
    return tuple(x for x in looks if x.sample and x.gain >= WORTH_SENDING)[:MOST_LENS]


def told_of(room: Room, tank: str, state: WaterState, now: datetime) -> Told:
    """What the logbook says when it is urgent."""
    facts = load()
    changes = [(at, act) for at, act in room.acts(tank) if isinstance(act, Change)]
    big = [at for at, act in changes if act.share >= BIG_CHANGE]
    today = [act for at, act in changes if hours_between(at, now) <= 24]
    untreated = any(act.dechlorinated is False for act in today) or None
    return Told(
        volume_l=state.volume_l,
        full_l=state.full_l,
        left=state.left,
        ph=_value(state, "ph"),
        untreated_tap=_untreated(today, untreated, treated=_treated_since(room, tank, state, now, facts)),
        big_change_d=hours_between(big[-1], now) / 24 if big else None,
        dosed=tuple(s for dose in state.doses if dose.age_h <= 48 for s in dose.substances),
    )


def _value(state: WaterState, quantity: str) -> float | None:
    read = state.of(quantity)
    return read.value if read else None


def _untreated(today: Sequence[Change], untreated: bool | None, *, treated: bool) -> bool | None:
    """Whether untreated tap water is in: no, where every change was treated, or the tank was since."""
    if treated or (today and all(act.dechlorinated for act in today)):
        return False
    return untreated


def _treated_since(room: Room, tank: str, state: WaterState, now: datetime, facts: Facts) -> bool:
    """Whether dechlorinator for the tank, not only for the new water, went in after the untreated water."""
    acts = [(at, act) for at, act in room.acts(tank) if 0.0 <= hours_between(at, now) <= 24.0]
    raw = [at for at, act in acts if isinstance(act, Change) and act.dechlorinated is False]
    if not raw:
        return False
    whole_mg = MOST_OF_IT * 1000.0 * (dechlorinator(state.full_l, facts).value or 0.0)
    given = [act.actives for at, act in acts if isinstance(act, Dose) and at >= max(raw)]
    return sum(a.get(DECHLORINATOR, 0.0) for a in given) >= whole_mg
