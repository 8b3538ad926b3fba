"""From "this share was dead after so long at this level" to a curve over the level."""

from __future__ import annotations

import numpy as np

from tankward.knowledge import rules
from tankward.knowledge.beliefs import of_span
from tankward.knowledge.normal import Array
from tankward.knowledge.records.base import Record
from tankward.knowledge.records.organism import Kill


class KillCurve(Record, frozen=True, kw_only=True):
    """Death rate over the level: most · C^hill / (half^hill + C^hill)."""

    most_per_h: Array
    half: Array  # level at half the greatest rate, in the unit of the row
    hill: Array

    def rate(self, level: Array | float) -> Array:
        """Death rate at a level. [1/h]"""
        ratio = np.power(np.asarray(level, dtype=np.float64) / self.half, self.hill)
        return np.asarray(self.most_per_h * ratio / (1.0 + ratio))


def rate_of_share(share: Array, exposure_h: float) -> Array:
    """Death rate that leaves this share dead after the exposure: -ln(1 - min(s, 0.99))/t. [1/h]"""
    most = rules.figure("kill_share_most")
    return np.asarray(-np.log1p(-np.minimum(share, most)) / exposure_h)


def rate_at_lc50(exposure_h: float) -> float:
    """Death rate at a level that kills half in the exposure: ln 2/t. [1/h]"""
    return float(np.log(2) / exposure_h)


def curve_through(rate: Array, level: float, hill: Array, multiple: Array) -> KillCurve:
    """The curve through a point (level, rate) whose greatest rate is `multiple` of it.

    EC50 = C · (m - 1)^(1/h): then m · r · C^h / (EC50^h + C^h) = r at C.
    """
    half = level * np.power(multiple - 1.0, 1.0 / hill)
    return KillCurve(most_per_h=multiple * rate, half=half, hill=hill)


def kill_curve(row: Kill, u_share: Array, u_hill: Array, u_most: Array) -> KillCurve | None:
    """The curve of a kill row; None for a row without a level: nothing is made of it.

    Food rows: the share is of the days of treated food the row names, for fish that eat; the caller
    multiplies by the share eaten. The share of draws in which nothing happens
    (`no_effect_share`) and the shortest exposure are the caller's: they are not a matter of the level.
    """
    if row.level <= 0 or row.route == "uv":
        return None
    share = of_span(row.share_low, row.share_high, "1").draw(u_share)
    rate = rate_of_share(share, row.exposure_h)
    hill = _own_or(row.hill_low, row.hill_high, "kill_hill", u_hill)
    multiple = _above_one(_own_or(row.emax_low, row.emax_high, "kill_emax", u_most), row)
    return curve_through(rate, row.level, hill, multiple)


def _own_or(low: float | None, high: float | None, rule: str, u: Array) -> Array:
    if low is None or high is None:
        low, high = rules.span(rule)
    return of_span(low, high, "1").draw(u)


def _above_one(multiple: Array, row: Kill) -> Array:
    """The greatest rate lies above the rate at the level: at 1 the curve would have no slope left."""
    low = rules.span("kill_emax")[0] if row.emax_low is None else row.emax_low
    return np.maximum(multiple, (1.0 + low) / 2.0)


def nearest(rows: tuple[Kill, ...], substance: str, route: str, stage: str, level: float) -> Kill | None:
    """Of several rows for one substance, route and stage the one nearest in ln of the level."""
    fitting = [
        r
        for r in rows
        if r.use and r.level > 0 and (r.substance, r.route, r.stage) == (substance, route, stage)
    ]
    return min(fitting, key=lambda r: abs(np.log(r.level / level)), default=None)
