"""Facts into distributions: what a range, a single figure or a keeper's "about" stands for when drawn.

Low and high are the 5th and 95th centile. One uniform number picks the value.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from tankward.knowledge import rules
from tankward.knowledge.normal import Array, normal_quantile
from tankward.knowledge.records.base import Drawn, Figure, Record, Status
from tankward.quantities.parse import Estimate

Shape = Literal["lognormal", "logit-normal", "uniform", "point"]

Z95 = 1.6448536269514722  # standard normal quantile of 0.95
IN_A_SPAN = 0.9  # the share between low and high
LINEAR = frozenset({"C", "pH"})  # scales whose zero means nothing
WIDER: dict[Status, str] = {"published-read": "widen_published", "common-practice": "widen_practice"}


class Belief(Record, frozen=True, kw_only=True):
    """What is believed of one number: its central 90 %, the shape between, and where it is cut."""

    low: float
    high: float
    shape: Shape
    least: float = -np.inf
    most: float = np.inf

    def draw(self, u: Array) -> Array:
        """The values at these shares of the distribution (0 to 1), in the unit of the fact."""
        return np.clip(
            spread(np.float64(self.low), np.float64(self.high), self.shape, u), self.least, self.most
        )


def spread(low: Array | np.float64, high: Array | np.float64, shape: Shape, u: Array) -> Array:
    """The value at share u of a distribution whose 5th and 95th centile are low and high, not cut.

    Parameters
    ----------
    low, high : number or array
        5th and 95th centile; for "lognormal" above 0, for "logit-normal" inside 0 to 1. [unit of the fact]
    shape : {"lognormal", "logit-normal", "uniform", "point"}
        Shape.
    u : array
        Shares, 0 to 1. [-]

    Returns
    -------
    array
        Values. [unit of the fact]

    Notes
    -----
    lognormal: ln x normal; logit-normal: ln(x / (1 - x)) normal; uniform: reaches an eighteenth of the span
    beyond either end, so that the centiles hold; point: low. The choice of shapes is ours (memory).
    """
    share = np.asarray(u, dtype=np.float64)
    if shape == "point":
        return np.asarray(low + 0.0 * share)
    if shape == "uniform":
        return np.asarray(low + (high - low) * (share - (1 - IN_A_SPAN) / 2) / IN_A_SPAN)
    if shape == "lognormal":
        return np.asarray(np.exp(_between(np.log(low), np.log(high), share)))
    return np.asarray(1 / (1 + np.exp(-_between(_logit(low), _logit(high), share))))


def _between(low: Array, high: Array, u: Array) -> Array:
    middle, sigma = (low + high) / 2, (high - low) / (2 * Z95)
    return np.asarray(middle + sigma * normal_quantile(u))


def _logit(x: Array | np.float64) -> Array:
    return np.asarray(np.log(x / (1 - x)))


def belief(row: Drawn) -> Belief:
    """What is believed of a drawn row; a single figure is widened by its status, an elicited one is not."""
    return of_span(*widened(row.low, row.high, row.status), row.unit)


def belief_of_figure(figure: Figure) -> Belief | None:
    """What is believed of a figure; None when it has no number."""
    return None if figure.span is None else of_span(*widened(*figure.span, figure.status), figure.unit)


def of_span(low: float, high: float, unit: str) -> Belief:
    """The belief for a span: shape and cuts by unit and ends."""
    least, most = cuts(low, high, unit)
    return Belief(low=low, high=high, shape=shape_of(low, high, unit), least=least, most=most)


def drawn(row: Drawn, u: Array) -> Array:
    """Values of a fact at the shares u."""
    return belief(row).draw(u)


def quantile(low: float, high: float, unit: str, u: Array) -> Array:
    """Values at the shares u of a number whose central 90 % lies between low and high."""
    return of_span(low, high, unit).draw(u)


def normal(u: Array) -> Array:
    """Standard normal numbers at the shares u."""
    return normal_quantile(u)


def widened(low: float, high: float, status: Status) -> tuple[float, float]:
    """Low and high after the rule for single figures: one that was read × ÷ 1.3, of common practice × ÷ 2."""
    factor = rules.figure(WIDER[status]) if low == high and status in WIDER else 1.0
    return low / factor, high * factor


def shape_of(low: float, high: float, unit: str) -> Shape:
    """Shares logit-normal, positive numbers lognormal; uniform: no true zero, or an end at 0 or 1."""
    if low == high:
        return "point"
    if unit in LINEAR or low <= 0 or (is_share(high, unit) and high == 1):
        return "uniform"
    return "logit-normal" if is_share(high, unit) else "lognormal"


def is_share(high: float, unit: str) -> bool:
    """A number without a unit that stays at or below 1 is a share."""
    return unit == "1" and high <= 1


def cuts(low: float, high: float, unit: str) -> tuple[float, float]:
    """Where a draw is cut: shares at 0 and 1, positive quantities at low/2 and 2 × high."""
    if is_share(high, unit):
        return 0.0, 1.0
    if unit in LINEAR or low < 0:
        return -np.inf, np.inf
    factor = rules.figure("cut_factor")
    return low / factor, high * factor


def estimated(about: Estimate, u: Array) -> Array:
    """Values of a keeper's estimate at the shares u: median the likely value, each side its own width."""
    if not about.ranged:
        return np.full(np.shape(u), float(about.value))
    z = normal(u) / Z95
    if about.low <= 0.0:
        below, above = about.value - about.low, about.high - about.value
        return np.maximum(about.value + z * np.where(z < 0, below, above), 0.0)
    below, above = np.log(about.value / about.low), np.log(about.high / about.value)
    return np.asarray(about.value * np.exp(z * np.where(z < 0, below, above)))
