"""A chance that belongs to a course, as data; the lines not to be passed; the range of a counted share."""

from __future__ import annotations

from datetime import datetime
from math import sqrt

import msgspec

from tankward.judge.choices import LC50_REFUSED, NH3_CARE, NH3_DANGER, NITRITE_CARE, Choice
from tankward.judge.limit import Limit
from tankward.model.result import Outlook

Z90 = 1.645  # 5th to 95th centile
NO_GERM = ("clear",)  # no organism stands behind what the course is for
LINES: tuple[tuple[str, str, Choice], ...] = (
    ("nh3", "nh3_n", NH3_CARE),
    ("nh3-danger", "nh3_n", NH3_DANGER),
    ("nitrite", "nitrite_n", NITRITE_CARE),
)


class ChanceOf(msgspec.Struct, frozen=True, kw_only=True):
    """A chance with its range from the number of draws; `line` is the level that must not be passed."""

    what: str  # over-limit, over-ceiling, nh3, nitrite, oxygen
    about: str  # a substance, or the series
    who: tuple[str, ...] = ()
    line: float
    unit: str
    by: datetime
    low: float
    value: float
    high: float
    source: str = "none"
    status: str = "computed"
    where: str = "tank"  # or the tub beside it


class PartGone(msgspec.Struct, frozen=True, kw_only=True):
    """The chance that an organism is gone from one of the two waters of a course."""

    organism: str
    where: str  # tank, tub
    low: float
    value: float
    high: float


class Chances(msgspec.Struct, frozen=True, kw_only=True):
    """Chances of harm, what becomes of each germ that it is for, and which chances nobody can give."""

    rows: tuple[ChanceOf, ...]
    cleared: tuple[Outlook, ...] = ()
    withheld: tuple[str, ...] = ()
    parts: tuple[PartGone, ...] = ()  # of a course with a tub
    without: bool = False  # no medicine: nothing in the water has to kill it


def refused_from(limit: Limit) -> float | None:
    """The level from which this inhabitant is refused: its cap, a quarter of its LC50, else its limit."""
    hard = [limit.cap] if limit.cap is not None else []
    hard += [limit.lc50 * LC50_REFUSED.value] if limit.lc50 is not None else []
    return min(hard) if hard else limit.level


def counted(share: float, draws: float) -> tuple[float, float]:
    """5th and 95th centile of a share counted on so many draws (Wilson)."""
    n, z = max(draws, 1.0), Z90
    middle = (share + z * z / (2 * n)) / (1 + z * z / n)
    half = z / (1 + z * z / n) * sqrt(share * (1 - share) / n + z * z / (4 * n * n))
    return max(0.0, middle - half), min(1.0, middle + half)
