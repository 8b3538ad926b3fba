"""What to put back now, where less is in the water than was meant: between lasting and gone, both ends.

Carbon that stayed in, a dose that was spilled, a change that was too large: the model says what is left, and
nobody knows it well. So three amounts stand side by side, and what is advised never takes the level over what
everybody bears.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Literal

import msgspec

from tankward.knowledge.known import Facts
from tankward.model.levels import levels
from tankward.quantities.parse import Estimate
from tankward.room.acts import AnyAct, Dose, Media
from tankward.room.replay import Room
from tankward.room.things import Supply
from tankward.room.volume import litres
from tankward.treat.amounts.measure import Measured, measurable
from tankward.treat.amounts.put_back import restoring_mg
from tankward.treat.course.doses import UL_PER_L, amount_unit, in_packet, of_supply
from tankward.treat.course.request import STILL_IN
from tankward.treat.drugs_ahead import works_from
from tankward.treat.label_put_back import apart
from tankward.treat.medicine import is_medicine

from .inside import InIt

LASTS_H = (1e9, 1e9)
WORTH = 0.1  # of a full dose: less is not worth a second opening of the packet [our own choice]
ENOUGH = 1.0 - WORTH  # of a full dose: a course that aims lower than what works has that as its own
Why = Literal["works", "below", "at-safe"]
Acts = Sequence[tuple[datetime, AnyAct]]


class Ends(msgspec.Struct, frozen=True, kw_only=True):
    """What would bring one active back to its full level: if all of it lasted, as is likely, if it were gone.

    Amounts in mg, or uL of formalin; levels in mg/L or uL/L.
    """

    substance: str
    unit: str
    amount_unit: str
    level: Estimate
    full: float
    works: float | None
    safe: float | None
    lasting: float
    likely: float
    gone: float

    @property
    def share(self) -> float:
        """Of a full dose, as is likely."""
        return self.likely / self.gone if self.gone else 0.0


class Back(msgspec.Struct, frozen=True, kw_only=True):
    """What to put back now. `give` None: nothing.

    `by`: the active by which the amount goes; `apart`: one packet can no longer hold them all (safety rule
    9); `peaks`: level of each right after.
    """

    ends: tuple[Ends, ...]
    by: str
    why: Why
    give: Measured | None = None
    units: float | None = None  # packets
    amounts: Mapping[str, float] = {}  # active -> mg or uL that go in
    peaks: Mapping[str, Estimate] = {}
    supply: str = ""
    apart: bool = False

    @property
    def lead(self) -> Ends | None:
        return next((e for e in self.ends if e.substance == self.by), None)


def last_dose(room: Room, tank: str, now: datetime, facts: Facts) -> Dose | None:
    """The last medicine given here within four weeks."""
    given = [
        act
        for at, act in room.acts(tank)
        if now - STILL_IN <= at <= now
        and isinstance(act, Dose)
        and any(is_medicine(s, facts) for s in act.actives)
    ]
    return given[-1] if given else None


def put_back_now(
    room: Room,
    tank: str,
    now: datetime,
    facts: Facts,
    inside: Sequence[InIt],
    *,
    meant: Dose | None = None,
    fill_up: bool = False,
) -> Back | None:
    """What to put back into a tank now.

    Parameters
    ----------
    room : Room
        With the slip in its logbook.
    tank : str
        Its id.
    now : datetime
        With zone.
    facts : Facts
        The facts.
    inside : sequence of InIt
        What is in the water now.
    meant : Dose, optional
        A full dose as it was meant; None: the largest dose of the course that runs, else the last one.
    fill_up : bool
        A part of a dose did not go in: what is missing goes in, whether the rest works or not.

    Returns
    -------
    Back or None
        None where no medicine was given, or the litres are not known.

    Notes
    -----
    (full level − level now) × volume; level now by the model for what is likely, with every loss left out
    but the changes for what lasts, nothing for what has gone. While the likely level still works, or is all
    but a full dose, nothing is put back. Of a packet of several actives the one that needs least decides.
    """
    volume, dose = litres(room.tanks[tank]), meant or last_dose(room, tank, now, facts)
    if volume is None or dose is None:
        return None
    full = dict(meant.actives) if meant is not None else full_dose(room, tank, dose)
    acts = [(at, act) for at, act in room.acts(tank) if now - STILL_IN <= at <= now]
    course = room.courses.get(tank)
    causes = (course.cause,) if course and course.cause else ()
    known = {x.substance: x for x in inside}
    ends = tuple(
        _ends(s, amount, acts, known.get(s), volume, now, causes, facts)
        for s, amount in full.items()
        if is_medicine(s, facts)
    )
    if not ends:
        return None
    return _given(ends, dose, room, volume, facts, fill_up)


def full_dose(room: Room, tank: str, dose: Dose) -> dict[str, float]:
    """Active -> the largest amount of it in one dose of the course that runs; else of the dose itself."""
    course = room.courses.get(tank)
    found: dict[str, float] = {}
    for step in course.steps if course else ():
        for s, amount in step.act.actives.items() if isinstance(step.act, Dose) else ():
            found[s] = max(found.get(s, 0.0), amount)
    return found if set(dose.actives) & set(found) else dict(dose.actives)


def _ends(
    substance: str,
    amount: float,
    acts: Acts,
    held: InIt | None,
    volume: Estimate,
    now: datetime,
    causes: Sequence[str],
    facts: Facts,
) -> Ends:
    nothing = Estimate.exact(0.0)
    level, full = held.level if held else nothing, amount / volume.value
    lasts = lasting_level(substance, acts, volume, now, facts)
    works = works_from(substance, causes, facts)
    lasting, likely, gone = (
        restoring_mg(full, before, volume.value, 0.0)
        for before in (max(lasts, level.value), level.value, 0.0)
    )
    return Ends(
        substance=substance,
        unit=held.unit if held else "mg/L",
        amount_unit=amount_unit(substance, facts),
        level=level,
        full=full,
        works=works[0] if works else None,
        safe=held.safe.level if held else None,
        lasting=lasting,
        likely=likely,
        gone=gone,
    )


def lasting_level(substance: str, acts: Acts, volume: Estimate, now: datetime, facts: Facts) -> float:
    """Level now if only water changes took any: no fading, no filter, no carbon. [own unit]"""
    kept = [(at, act) for at, act in acts if not isinstance(act, Media)]
    if not any(isinstance(act, Dose) and substance in act.actives for _, act in kept):
        return 0.0
    found = levels(
        substance, kept, facts=facts, volume_l=Estimate.exact(volume.value), half_life_h=LASTS_H, until=now
    )
    return found.end.value


def _given(
    ends: tuple[Ends, ...], dose: Dose, room: Room, volume: Estimate, facts: Facts, fill_up: bool
) -> Back:
    by = min(ends, key=lambda e: e.share)
    why: Why = "below" if fill_up else _why(by)
    packet = room.shelf.get(dose.supply)
    bare = Back(
        ends=ends, by=by.substance, why=why, apart=len(ends) > 1 and apart([e.share for e in ends]),
        supply=packet.id if packet else "",
    )  # fmt: skip
    if why == "works" or by.share < WORTH:
        return bare
    amount = min(by.likely, _room_left(ends, by, volume))
    if amount < WORTH * by.gone:
        return msgspec.structs.replace(bare, why="at-safe")
    return _measured(bare, by, amount, packet, room, volume, facts)


def _why(by: Ends) -> Why:
    """By the likely level: it works still, or is all but a full dose; else it lies under that."""
    enough = ENOUGH * by.full if by.works is None else min(by.works, ENOUGH * by.full)
    return "works" if by.level.value >= enough else "below"


def _room_left(ends: Sequence[Ends], by: Ends, volume: Estimate) -> float:
    """Most of the leading active that keeps the high end of every active under what everybody bears."""
    free = [
        (e.safe - e.level.high) * volume.low / e.gone * by.gone
        for e in ends
        if e.safe is not None and e.gone > 0.0
    ]
    return max(min(free, default=by.gone), 0.0)


def _measured(
    bare: Back, by: Ends, amount: float, packet: Supply | None, room: Room, volume: Estimate, facts: Facts
) -> Back:
    """As this keeper can measure it, from the packet that the last dose came from."""
    held = in_packet(packet, facts) if packet is not None else {}
    if packet is not None and held.get(by.substance):
        units = amount / held[by.substance]
        portion = of_supply(packet, units, room.kit, facts)
        give, amounts, count = portion.measured, portion.amounts, portion.units
    else:
        give = _weighed(by, amount, room, facts)
        amounts, count = {by.substance: amount * give.factor}, None
    peaks = {
        e.substance: Estimate(
            e.level.value + (added := amounts.get(e.substance, 0.0)) / volume.value,
            e.level.low + added / volume.high,
            e.level.high + added / volume.low,
        )
        for e in bare.ends
    }
    return msgspec.structs.replace(bare, give=give, units=count, amounts=amounts, peaks=peaks)


def _weighed(by: Ends, amount: float, room: Room, facts: Facts) -> Measured:
    """The active itself, on the keeper's scale; formalin in a syringe."""
    one = facts.substances[by.substance]
    if by.amount_unit == "uL":
        return measurable(amount / UL_PER_L, "L", room.kit, facts, one)
    return measurable(amount, "mg", room.kit, facts, one)
