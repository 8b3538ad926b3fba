"""What substances do to an organism: for each substance and stage a curve over the level, or that it is not
known.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from functools import partial

import msgspec
import numpy as np

from tankward.knowledge.killing import KillCurve, kill_curve, nearest
from tankward.knowledge.known import Facts
from tankward.knowledge.records.organism import Kill, Organism
from tankward.model.known import TO_MG_L
from tankward.model.memo import Memo, once
from tankward.model.rows import Array

from .columns import shares
from .tables import Gathering

DAY_H = 24.0
NOTHING = "nothing"


class Reach(msgspec.Struct, frozen=True, kw_only=True):
    """One substance on one stage. `scale`: levels of the water in the unit of the curve."""

    substance: str
    stage: str
    route: str
    rows: tuple[int, ...]
    curve: KillCurve
    scale: Array | float
    acts: Array  # 0 in the draws in which nothing happens
    shortest_h: float = 0.0
    source: str = "none"
    status: str = "memory"
    key: Hashable = None  # by which what it is made of is known again

    @property
    def warm(self) -> bool:
        """Whether it depends on the warmth."""
        return bool(self.curve.temp_c)

    def rate(self, level: Array | float, temp_c: Array | float | None = None) -> Array:
        """Death rate. [1/d]"""
        return self.most(temp_c) * self.part(level)

    def most(self, temp_c: Array | float | None = None) -> Array:
        """The greatest death rate at a temperature. [1/d]"""
        return self.acts * DAY_H * self.curve.most(temp_c)

    def part(self, level: Array | float) -> Array:
        """Share of the greatest rate at a level. [-]"""
        ratio = np.power(np.maximum(level, 0.0) * self.scale / self.curve.half, self.curve.hill)
        return np.asarray(ratio / (1.0 + ratio))


def reaches(
    organism: Organism, g: Gathering, route: str, levels: Mapping[str, float], units: Mapping[str, str],
    draws: int, kept: Memo | None = None,
) -> tuple[list[Reach], list[str]]:  # fmt: skip
    """What reaches it by a route, and the substances with a row of which no number can be made.

    Parameters
    ----------
    levels : mapping
        Greatest likely level of each substance: of several rows the nearest counts.
    units : mapping
        Unit of that level.
    kept : Memo, optional
        What was made before for this organism.
    """
    found: list[Reach] = []
    unknown: list[str] = []
    for slot, (substance, level) in enumerate(levels.items(), 1):
        for stage in organism.stage:
            rows = nearest(organism.kill, substance, route, stage.id, max(level, 1e-9))
            if not rows:
                unknown += [substance] if _without_number(organism, substance, route, stage.id) else []
                continue
            key = (slot, route, units[substance], tuple(id(row) for row in rows))
            make = partial(_made, rows, units[substance], tuple(g.of_stage(stage.id)), slot, draws, key)
            made = once(kept, "reach", key, make)
            if isinstance(made, str):
                unknown.append(substance)
            else:
                found.append(made)
    return found, unknown


def _made(
    kills: Sequence[Kill], unit: str, rows: tuple[int, ...], slot: int, draws: int, key: Hashable
) -> Reach | str:
    """From rows of the facts; `NOTHING` where no number can be made of them."""
    row = kills[0]
    scale = scale_of(unit, row.unit)
    curve = kill_curve(kills, *(shares(f"kill.{slot}.{p}", draws) for p in ("share", "hill", "most")))
    if scale is None or curve is None:
        return NOTHING
    none = row.no_effect_share or 0.0
    return Reach(
        substance=row.substance,
        stage=row.stage,
        route=row.route,
        rows=rows,
        curve=curve,
        scale=scale,
        acts=np.where(shares(f"kill.{slot}.none", draws) < none, 0.0, 1.0),
        shortest_h=row.min_exposure_h or 0.0,
        source=row.source,
        status=row.status,
        key=key,
    )


def _without_number(organism: Organism, substance: str, route: str, stage: str) -> bool:
    rows = [r for r in organism.kill if (r.substance, r.route, r.stage) == (substance, route, stage)]
    return any(r.use and r.level <= 0 for r in rows)


def scale_of(water: str, curve: str) -> float | None:
    """By what a level in the water's unit is multiplied to be one of the curve's; None: they do not meet."""
    if water == curve:
        return 1.0
    if "uL/L" in (water, curve) or water not in TO_MG_L or curve not in TO_MG_L:
        return None
    return TO_MG_L[water] / TO_MG_L[curve]


def not_met(organism: Organism, substances: Mapping[str, float], facts: Facts) -> dict[str, tuple[str, ...]]:
    """Substances in the water with the stages on which nothing is known of them."""
    out: dict[str, tuple[str, ...]] = {}
    for substance in substances:
        known = {r.stage for r in organism.kill if r.use and r.substance == substance}
        open_ = tuple(s.id for s in organism.stage if s.id not in known)
        if open_ and substance in facts.substances:
            out[substance] = open_
    return out
