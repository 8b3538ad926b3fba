"""What goes in at one dose: by level, by packets, by the label; rounded to what this keeper can measure."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

import msgspec

from tankward.judge.figures import unit_of
from tankward.knowledge.known import Facts
from tankward.knowledge.records.substance import Substance
from tankward.quantities.faults import BadInput, Refused
from tankward.quantities.parse import Estimate
from tankward.room.things import Kit, Supply
from tankward.treat.amounts.measure import Measured, measurable
from tankward.treat.amounts.published import Published, beyond
from tankward.treat.label import units_by_label
from tankward.treat.label_parts import dosed_published, per_unit
from tankward.treat.remedies.levels import by_reading, own_span
from tankward.treat.remedies.ratio import packet_for

from .choice import Chosen
from .records import ActiveDose, DosePlan

MG_PER_G, ML_PER_L, UL_PER_L = 1000.0, 1000.0, 1e6
LIQUIDS, WEIGHED, DROPS = ("mL", "ml"), ("g",), ("drop", "drops")


class Portion(msgspec.Struct, frozen=True, kw_only=True):
    """A full dose as it can be measured: active -> amount (mg, or uL of formalin), and packets."""

    amounts: dict[str, float]
    units: float | None
    measured: Measured


def amount_unit(substance: str, facts: Facts) -> str:
    return "uL" if unit_of(facts.substances[substance]) == "uL/L" else "mg"


def in_packet(supply: Supply, facts: Facts) -> dict[str, float]:
    """Active -> amount in one unit of a supply. [mg, or uL of formalin]"""
    return {d.substance: d.amount for d in per_unit(supply, facts)}


def wanted_units(
    chosen: Chosen, volume_l: float, facts: Facts, *, level: float | None, units: float | None, own_rule: bool
) -> float:
    """Packets of one full dose.

    Raises
    ------
    BadInput
        Where the label has no rule and no level was asked for.
    Refused
        Where no number of packets lets every part work and harms nobody.
    """
    supply = chosen.supply
    assert supply is not None
    if units is not None:
        return units
    if own_rule or supply.own_rule_only:
        found = units_by_label(supply.rule, volume_l)
        if found is None:
            raise BadInput("supply", supply.name, "has no rule on its label. Write dose= and per= for it.")
        return found
    held = in_packet(supply, facts)
    if len(held) > 1 and level is None:
        return _by_ratio(chosen, held, volume_l, facts)
    lead = chosen.one.id if chosen.one.id in held else max(held, key=lambda s: held[s])
    return target_level(chosen, level) * volume_l / held[lead]


def _by_ratio(chosen: Chosen, held: Mapping[str, float], volume_l: float, facts: Facts) -> float:
    """The least number at which every part works (safety rule 5)."""
    limits = [v.limit for v in chosen.option.bears]
    causes = chosen.situation.causes
    found = packet_for(held, volume_l, chosen.one, chosen.regimen, causes, limits, facts)
    if found.reason is not None:
        raise Refused(found.reason)
    return found.least


def target_level(chosen: Chosen, level: float | None) -> float:
    """The level aimed at: what was asked for, else the lowest of the published course. [own unit]"""
    if level is not None:
        return level
    span = own_span(chosen.regimen, chosen.one) or by_reading(chosen.regimen, chosen.situation.water)
    if span is None:
        raise BadInput("level", "", f"is missing: {chosen.one.names[0]} has no published level for this.")
    return span[0]


def portion(
    chosen: Chosen,
    volume_l: float,
    kit: Kit,
    facts: Facts,
    *,
    level: float | None = None,
    units: float | None = None,
    own_rule: bool = False,
) -> Portion:
    """A full dose as this keeper can measure it.

    Parameters
    ----------
    chosen : Chosen
        Substance, regimen and packet.
    volume_l : float
        The water it goes into. [L]
    kit : Kit
        What the keeper measures with.
    facts : Facts
        The facts.
    level : float, optional
        Asked for. [own unit]
    units : float, optional
        Packets asked for.
    own_rule : bool
        Follow the label's own rule.
    """
    if chosen.supply is not None:
        wanted = wanted_units(chosen, volume_l, facts, level=level, units=units, own_rule=own_rule)
        return of_supply(chosen.supply, wanted, kit, facts)
    if units is not None:
        raise BadInput("units", units, "needs a supply. Name the packet.")
    if chosen.one.parts:
        raise BadInput("supply", "", f"is missing: {chosen.one.names[0]} is dosed from a packet's label.")
    return of_active(chosen, target_level(chosen, level) * volume_l, kit, facts)


def of_active(chosen: Chosen, amount: float, kit: Kit, facts: Facts) -> Portion:
    """The pure substance, weighed; formalin by volume."""
    liquid = amount_unit(chosen.one.id, facts) == "uL"
    measured = measurable(
        amount / UL_PER_L if liquid else amount, "L" if liquid else "mg", kit, facts, chosen.one
    )
    return Portion(amounts={chosen.one.id: amount * measured.factor}, units=None, measured=measured)


def of_supply(supply: Supply, units: float, kit: Kit, facts: Facts) -> Portion:
    """So many of a packet, a tablet, mL, g or drops."""
    held = in_packet(supply, facts)
    amount, unit = in_unit(supply.unit, units)
    most = max(held.values(), default=0.0)
    measured = measurable(amount, unit, kit, facts, _most_of(held, facts), most)
    given = units * measured.factor
    return Portion(amounts={s: x * given for s, x in held.items()}, units=given, measured=measured)


def _most_of(held: Mapping[str, float], facts: Facts) -> Substance | None:
    """The active of which there is most: it has to dissolve."""
    return facts.substances[max(held, key=lambda s: held[s])] if held else None


def part_of(chosen: Chosen, full: Portion, factor: float, kit: Kit, facts: Facts) -> Portion:
    """A part of a full dose, measured anew."""
    if chosen.supply is not None and full.units is not None:
        return of_supply(chosen.supply, full.units * factor, kit, facts)
    return of_active(chosen, full.amounts[chosen.one.id] * factor, kit, facts)


def in_unit(unit: str, count: float) -> tuple[float, str]:
    """So many of a supply's unit, as it is measured."""
    if unit in LIQUIDS:
        return count / ML_PER_L, "L"
    if unit in WEIGHED:
        return count * MG_PER_G, "mg"
    return count, "drop" if unit in DROPS else unit


def actives_of(
    amounts: Mapping[str, float], volume_l: Estimate, facts: Facts, *, bath: bool = False
) -> tuple[ActiveDose, ...]:
    """What one dose makes of each active, against what was published; `bath`: for minutes in a tub."""
    return tuple(_active(s, x, volume_l, facts, bath) for s, x in amounts.items())


def _active(substance: str, amount: float, volume_l: Estimate, facts: Facts, bath: bool) -> ActiveDose:
    v = volume_l
    level = Estimate(amount / v.value, amount / v.high, amount / v.low)
    span: Published | None = dosed_published(substance, facts, bath=bath)
    return ActiveDose(
        substance=substance,
        amount=amount,
        amount_unit=amount_unit(substance, facts),
        level=level,
        level_unit=unit_of(facts.substances[substance]),
        published=span,
        lies="" if span is None else beyond(level.value, span),
    )


def plan_of(
    at: datetime,
    number: int,
    kind: str,
    given: Portion,
    volume_l: Estimate,
    facts: Facts,
    peaks: dict[str, Estimate],
    *,
    bath: bool = False,
) -> DosePlan:
    return DosePlan(
        at=at,
        number=number,
        kind=kind,
        actives=actives_of(given.amounts, volume_l, facts, bath=bath),
        units=given.units,
        measured=given.measured,
        peaks=peaks,
    )
