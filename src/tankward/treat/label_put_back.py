"""What to put back after a label's water change, for each active; whether one packet still holds them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

import msgspec

from .amounts.put_back import restoring_mg
from .label_parts import Dosed, Faded

APART = 0.25  # safety rule 9


class PartBack(msgspec.Struct, frozen=True, kw_only=True):
    """Packets that bring one active back to its level: if it lasts, as is likely, if it has gone."""

    substance: str
    units_lasting: float
    units_likely: float
    units_gone: float


class Choice(msgspec.Struct, frozen=True, kw_only=True):
    """Put back by one active: so many packets, and the level that each active then has."""

    by: str
    units: float
    levels: dict[str, float]


class PutBack(msgspec.Struct, frozen=True, kw_only=True):
    """Put back per active, and what each choice does to the others."""

    parts: tuple[PartBack, ...]
    choices: tuple[Choice, ...]
    holds_together: Literal["yes", "no", "not known"]


def put_back(
    dosed: Sequence[Dosed], kept: Mapping[str, Faded], units: float, change: float, volume_l: float
) -> PutBack:
    """Packets to put back after the change, by each active.

    Parameters
    ----------
    dosed : sequence of Dosed
        Actives in one packet. [mg or µL]
    kept : mapping
        Share of each left just before the change. [-]
    units : float
        Packets of a full dose. [-]
    change : float
        Share of the water changed. [-]
    volume_l : float
        The water. [L]

    Notes
    -----
    packets = full × (1 − left × (1 − change)): half changed, a lasting active wants half the dose, one that
    has gone the whole. Apart by more than 25 % of the larger, one packet can no longer hold both (rule 9).
    """
    parts = tuple(_part(d, kept[d.substance], units, change, volume_l) for d in dosed)
    choices = tuple(_choice(p, dosed, kept, units, change, volume_l) for p in parts)
    return PutBack(parts=parts, choices=choices, holds_together=_holds(parts, kept))


def _part(dosed: Dosed, kept: Faded, units: float, change: float, volume_l: float) -> PartBack:
    level = dosed.amount * units / volume_l

    def packets(left: float) -> float:
        return restoring_mg(level, level * left, volume_l, change) / dosed.amount

    return PartBack(
        substance=dosed.substance,
        units_lasting=packets(1.0),
        units_likely=packets(kept.likely),
        units_gone=packets(0.0),
    )


def _choice(
    part: PartBack,
    dosed: Sequence[Dosed],
    kept: Mapping[str, Faded],
    units: float,
    change: float,
    volume_l: float,
) -> Choice:
    levels = {
        d.substance: d.amount
        / volume_l
        * (units * kept[d.substance].likely * (1 - change) + part.units_likely)
        for d in dosed
    }
    return Choice(by=part.substance, units=part.units_likely, levels=levels)


def _holds(parts: Sequence[PartBack], kept: Mapping[str, Faded]) -> Literal["yes", "no", "not known"]:
    """By what is likely; where a half-life is not known and the ends lie apart, not known."""
    likely = [p.units_likely for p in parts]
    if apart(likely):
        return "no"
    unknown = len(parts) > 1 and any(not kept[p.substance].known for p in parts)
    ends = [u for p in parts for u in (p.units_lasting, p.units_gone)]
    return "not known" if unknown and apart(ends) else "yes"


def apart(units: Sequence[float]) -> bool:
    """Whether the packets wanted differ by more than a quarter of the larger."""
    return bool(units) and max(units) > 0 and (max(units) - min(units)) / max(units) > APART
