"""How likely a kit is to show this, by what the water holds: the marks of its card, the eye, the lot.

A colour lies somewhere between two marks of the card, the eye errs by part of a mark, and the nearest mark is
written down: a reading stands for the whole of its mark, and the last one for all above it.
"""

from __future__ import annotations

from collections.abc import Callable

import msgspec
import numpy as np

from tankward.knowledge.beliefs import Z95, drawn
from tankward.knowledge.known import Facts
from tankward.knowledge.records.organism import Kit
from tankward.room.things import Reading

from .kits import card_of, half_width, read_with
from .rows import Array

LOTS = 12  # lots of a kit, alike likely, that stand for all there are
ROUNDING = 1.0 / 12.0  # variance of what is lost by writing down the nearest mark [computed]
LEAST_UNSURE = 0.1  # marks: nobody reads a colour more sharply [memory]
ON_A_MARK = 0.02  # marks: so near is on it; units are worked over on the way
OTHERWISE = 24  # answers there are where a kit has no card, or a range was told [memory]

# erf(x) = 1 − (a1 t + … + a5 t^5) exp(−x²), t = 1 / (1 + p x), true to 1.5e-7: Abramowitz and Stegun, 7.1.26
P, A = 0.3275911, (1.061405429, -1.453152027, 1.421413741, -0.284496736, 0.254829592)


def normal_share(z: Array) -> Array:
    """Share of a standard normal distribution below z. [-]"""
    x = np.minimum(np.abs(z) / np.sqrt(2.0), 30.0)
    t = 1.0 / (1.0 + P * x)
    tail = 0.5 * np.polyval((*A, 0.0), t) * np.exp(-x * x)
    return np.asarray(np.where(z < 0, tail, 1.0 - tail))


class Eye(msgspec.Struct, frozen=True, kw_only=True):
    """One reading: where a level lies on the card, and between which places it was read as this."""

    kit: str  # whose lot it shares with other readings; "": a range of its own
    place: Callable[[Array], Array]  # of a level times its lot [mg/L], in marks
    low: float
    high: float
    unsure: float  # standard deviation of the eye, in marks
    lots: Array  # factors, alike likely
    answers: int  # how many other things could have been read

    def likely(self, levels: Array) -> Array:
        """Chance of this reading in each draw (rows) for each lot (columns)."""
        at = self.place(levels[:, None] * self.lots)
        return normal_share((self.high - at) / self.unsure) - normal_share((self.low - at) / self.unsure)


def eye_of(reading: Reading, facts: Facts) -> Eye | None:
    """How a reading was taken; None where nothing is known of its kit.

    Parameters
    ----------
    reading : Reading
        With a range of its own, that range is its error, and no lot is asked.
    facts : Facts
        The kits: the half width holds 90 % of what is written down, so the eye errs by that less the
        rounding.
    """
    if reading.low is not None and reading.high is not None and reading.high > reading.low:
        return _told(reading.value, reading.low, reading.high)
    found = read_with(reading, facts)
    if found is None:
        return None
    kit, scale = found
    card = kit.steps or (card_of(reading.quantity, facts) if kit.error.unit == "steps" else ())
    off = (kit.error.low + kit.error.high) / 2 if kit.error.unit == "steps" else 1.0
    place = _on_card(card, scale) if card else _in_widths(half_width(kit, reading.value * scale), scale)
    at = float(place(np.array([reading.value]))[0])
    low, high = _mark(at, len(card), _nothing(kit, place, scale))
    return Eye(
        kit=kit.id, place=place, low=low, high=high, unsure=unsure(off), lots=lots_of(kit),
        answers=len(card) or OTHERWISE,
    )  # fmt: skip


def lots_of(kit: Kit) -> Array:
    """Factors of the lots of a kit, alike likely. [-]"""
    return drawn(kit.lot, (np.arange(LOTS) + 0.5) / LOTS)


def unsure(off: float) -> float:
    """Standard deviation of the eye, from the half width of 90 % of what is written down. [marks]"""
    return float(np.sqrt(max((off / Z95) ** 2 - ROUNDING, LEAST_UNSURE**2)))


def _on_card(card: tuple[float, ...], scale: float) -> Callable[[Array], Array]:
    """Straight from mark to mark; above the last as between the last two."""
    far = 100
    levels = np.array([*card, card[-1] + far * (card[-1] - card[-2])]) / scale
    places = np.array([*range(len(card)), len(card) - 1 + far], dtype=float)
    return lambda level: np.interp(level, levels, places)


def _in_widths(width: float, scale: float) -> Callable[[Array], Array]:
    """Counted in drops, each about as wide as the error."""
    return lambda level: level * scale / max(width, 1e-9)


def _nothing(kit: Kit, place: Callable[[Array], Array], scale: float) -> float:
    """Place up to which nothing is seen."""
    if kit.zero_means is None:
        return 0.5
    return max(float(place(np.array([kit.zero_means.high / scale]))[0]), 0.5)


def _mark(at: float, marks: int, nothing: float) -> tuple[float, float]:
    """Between which places a reading at this one is written down."""
    nearest = round(at)
    if at < ON_A_MARK:
        return -np.inf, nothing
    if marks and at > marks - 1 - ON_A_MARK:
        return marks - 1.5, np.inf
    if marks and nearest == 1 and abs(at - 1) < ON_A_MARK:
        return nothing, 1.5
    return at - 0.5, at + 0.5


def _told(value: float, low: float, high: float) -> Eye:
    """The keeper's own range, on the scale on which it is drawn (beliefs.estimated)."""
    linear = low <= 0.0

    def place(level: Array) -> Array:
        if linear:
            return (level - value) / np.where(level < value, value - low or 1e-9, high - value or 1e-9)
        off = np.log(np.maximum(level, 1e-12) / value)
        below, above = max(np.log(value / low), 1e-9), max(np.log(high / value), 1e-9)
        return np.asarray(off / np.where(off < 0, below, above))

    return Eye(
        kit="", place=place, low=-0.5, high=0.5, unsure=unsure(1.0), lots=np.ones(1), answers=OTHERWISE
    )  # fmt: skip
