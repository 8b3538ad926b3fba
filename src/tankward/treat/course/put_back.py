"""What is in the water before each repeat, and what brings it back. Safety rule 9."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.model.levels import Levels, levels
from tankward.quantities.parse import Estimate
from tankward.room.acts import AnyAct
from tankward.treat.amounts.put_back import restoring_mg
from tankward.treat.label_put_back import apart

from .doses import Portion, amount_unit
from .records import BackOf, PutBack
from .request import CourseRequest

Acts = list[tuple[datetime, AnyAct]]


class Water(msgspec.Struct, frozen=True, kw_only=True):
    """The water a course goes into."""

    volume_l: Estimate
    temp_c: Estimate | None
    filter: str
    light_h: float | None
    still_in: dict[str, float]


def water_of(request: CourseRequest, volume_l: Estimate) -> Water:
    return Water(
        volume_l=volume_l,
        temp_c=request.temp_c,
        filter=request.tank.filter,
        light_h=request.tank.light_h,
        still_in=dict(request.still_in),
    )


def followed(substance: str, acts: Acts, water: Water, facts: Facts, until: datetime | None = None) -> Levels:
    """The level of one substance through a list of acts."""
    rest = water.still_in.get(substance)
    return levels(
        substance,
        acts,
        facts=facts,
        volume_l=water.volume_l,
        temp_c=water.temp_c,
        light_h=water.light_h,
        filter=water.filter,
        start_level=None if not rest else Estimate.exact(rest),
        until=until,
    )


def before_at(substance: str, acts: Acts, at: datetime, water: Water, facts: Facts) -> tuple[Estimate, bool]:
    """Level just before an instant, and whether its loss is only a general guess."""
    found = followed(substance, [a for a in acts if a[0] < at], water, facts, until=at)
    return found.end, found.generic


def put_back(acts: Acts, at: datetime, changed: float, full: Portion, water: Water, facts: Facts) -> PutBack:
    """What to put back at one repeat, for each active: lasting, likely, gone.

    Parameters
    ----------
    acts : list of (instant, act)
        What the course has done so far.
    at : datetime
        The repeat.
    changed : float
        Share of the water changed just before. [-]
    full : Portion
        A full dose.
    water : Water
        Volume, warmth, filter, what was there before.
    facts : Facts
        Half-lives.

    Notes
    -----
    (level − before × (1 − changed)) × volume; before = level for what lasts, 0 for what has gone, and the
    model's level for what is likely. Where the actives ask for numbers more than a quarter apart, the plan
    puts back by the one that needs least, so that none climbs over its level.
    """
    volume = water.volume_l.value
    parts = tuple(_back(s, x, acts, at, changed, full, water, facts, volume) for s, x in full.amounts.items())
    shares = [p.likely / full.amounts[p.substance] for p in parts]
    return PutBack(
        at=at,
        changed=changed,
        parts=parts,
        apart=len(parts) > 1 and apart(shares),
        by=min(parts, key=lambda p: p.likely / full.amounts[p.substance]).substance if parts else "",
    )


def _back(
    substance: str,
    amount: float,
    acts: Acts,
    at: datetime,
    changed: float,
    full: Portion,
    water: Water,
    facts: Facts,
    volume: float,
) -> BackOf:
    before, generic = before_at(substance, acts, at, water, facts)
    level = amount / volume
    ends = [restoring_mg(level, b, volume, changed) for b in (level, min(before.value, level), 0.0)]
    per = None if full.units is None else amount / full.units
    packets = [None if per is None else x / per for x in ends]
    return BackOf(
        substance=substance,
        before=before,
        lasting=ends[0],
        likely=ends[1],
        gone=ends[2],
        unit=amount_unit(substance, facts),
        units_lasting=packets[0],
        units_likely=packets[1],
        units_gone=packets[2],
        generic=generic,
    )


def factor_of(back: PutBack, full: Portion) -> float:
    """Share of a full dose that the plan puts back."""
    part = next((p for p in back.parts if p.substance == back.by), None)
    return 1.0 if part is None else part.likely / full.amounts[part.substance]


def peaks_at(
    actives: Sequence[str], acts: Acts, at: datetime, water: Water, facts: Facts
) -> dict[str, Estimate]:
    """Level of each active right after what is done at an instant."""
    return {s: followed(s, [a for a in acts if a[0] <= at], water, facts).end for s in actives}
