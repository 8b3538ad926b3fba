"""From "this share was dead after so long at this level" to a curve over the level."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from msgspec.structs import replace

from tankward.knowledge import rules
from tankward.knowledge.beliefs import Z95, normal, of_span
from tankward.knowledge.normal import Array
from tankward.knowledge.records.base import Record
from tankward.knowledge.records.organism import Kill

LEAST = 1e-12  # 1/h: its logarithm is finite


class KillCurve(Record, frozen=True, kw_only=True):
    """Death rate over the level: most · C^hill / (half^hill + C^hill).

    `temp_c`: the temperatures at which it was read, rising, with a row of `most_per_h` for each; none: it
    was read without one and holds at any. `out`: by how much the rate is off, in ln, for every
    `widen_beyond_step` outside of them.
    """

    most_per_h: Array
    half: Array  # level at half the greatest rate, in the unit of the row
    hill: Array
    temp_c: tuple[float, ...] = ()
    out: Array | float = 0.0

    def rate(self, level: Array | float, temp_c: Array | float | None = None) -> Array:
        """Death rate at a level and a temperature; without one, as it was read where it was warmest. [1/h]"""
        ratio = np.power(np.asarray(level, dtype=np.float64) / self.half, self.hill)
        return np.asarray(self.most(temp_c) * ratio / (1.0 + ratio))

    def most(self, temp_c: Array | float | None = None) -> Array:
        """The greatest rate at a temperature: ln linear between those read, the edge beyond, wider. [1/h]"""
        if not self.temp_c:
            return self.most_per_h
        if temp_c is None:
            return np.asarray(self.most_per_h[-1])
        at, temp = self.temp_c, np.asarray(temp_c, dtype=np.float64)
        logs = np.log(np.maximum(self.most_per_h, LEAST))
        ln = logs[0] + 0.0 * temp
        for n, (low, high) in enumerate(pairwise(at)):
            ln = ln + (logs[n + 1] - logs[n]) * np.clip((temp - low) / (high - low), 0.0, 1.0)
        outside = np.maximum(np.maximum(at[0] - temp, temp - at[-1]), 0.0)
        return np.asarray(np.exp(ln + self.out * outside / rules.figure("widen_beyond_step")))

    def beyond(self, temp_c: float) -> bool:
        """True when the temperature lies outside those read: a caution for the screen."""
        return bool(self.temp_c) and not self.temp_c[0] <= temp_c <= self.temp_c[-1]


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


def kill_curve(rows: Sequence[Kill], u_share: Array, u_hill: Array, u_most: Array) -> KillCurve | None:
    """The curve of a kill row, or of rows of one level read at several temperatures; None without a level:
    nothing is made of it.

    Food rows: the share is of the days of treated food the row names, for fish that eat; the caller
    multiplies by the share eaten. The share of draws in which nothing happens
    (`no_effect_share`) and the shortest exposure are the caller's: they are not a matter of the level.
    """
    row = rows[0]
    if row.level <= 0 or row.route == "uv":
        return None
    hill = _own_or(row.hill_low, row.hill_high, "kill_hill", u_hill)
    multiple = _above_one(_own_or(row.emax_low, row.emax_high, "kill_emax", u_most), row)
    read = sorted(((temp, r) for r in rows for temp in _temperatures(r)), key=lambda one: one[0])
    if not read:
        return curve_through(_rate(row, u_share), row.level, hill, multiple)
    curve = curve_through(np.array([_rate(r, u_share) for _, r in read]), row.level, hill, multiple)
    return replace(
        curve,
        temp_c=tuple(temp for temp, _ in read),
        out=np.log(rules.figure("widen_beyond")) * normal(u_share) / Z95,
    )


def _rate(row: Kill, u: Array) -> Array:
    return rate_of_share(of_span(row.share_low, row.share_high, "1").draw(u), row.exposure_h)


def _temperatures(row: Kill) -> tuple[float, ...]:
    """Where it was read: one temperature, or from one to another."""
    if row.temp_c is None:
        return ()
    return (row.temp_c,) if row.temp_to_c is None else (row.temp_c, row.temp_to_c)


def _own_or(low: float | None, high: float | None, rule: str, u: Array) -> Array:
    if low is None or high is None:
        low, high = rules.span(rule)
    return of_span(low, high, "1").draw(u)


def _above_one(multiple: Array, row: Kill) -> Array:
    """The greatest rate lies above the rate at the level: at 1 the curve would have no slope left."""
    low = rules.span("kill_emax")[0] if row.emax_low is None else row.emax_low
    return np.maximum(multiple, (1.0 + low) / 2.0)


def nearest(rows: Sequence[Kill], substance: str, route: str, stage: str, level: float) -> tuple[Kill, ...]:
    """Of several rows for one substance, route and stage the one nearest in ln of the level; with it those
    of the same level that were read at other temperatures.
    """
    fitting = [
        r
        for r in rows
        if r.use and r.level > 0 and (r.substance, r.route, r.stage) == (substance, route, stage)
    ]
    best = min(fitting, key=lambda r: abs(np.log(r.level / level)), default=None)
    if best is None or best.temp_c is None:
        return () if best is None else (best,)
    return tuple(r for r in fitting if r.level == best.level and r.temp_c is not None)
