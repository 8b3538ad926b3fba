"""A sweep: each judged number low in one draw and high in the next, all others in the middle."""

from __future__ import annotations

import numpy as np

from tankward.knowledge.records.base import Drawn
from tankward.model.draws import COUNTS

LOW, MIDDLE, HIGH = 0.05, 0.5, 0.95
TELLS = 0.005  # a chance that moves less, and a burden that moves by less than a tenth, is left out
ELICITED = "memory"


class Lanes:
    """Everything in the middle, but each name low in one draw and high in the next."""

    def __init__(self, names: list[str]) -> None:
        self.at = {name: n for n, name in enumerate(dict.fromkeys(names))}
        self.draws = next(c for c in COUNTS if c >= 2 * len(self.at) + 1)

    def shares(self, name: str, count: int) -> np.ndarray:
        """The shares of a name, for so many draws."""
        share = np.full(count, MIDDLE)
        if name in self.at:
            share[2 * self.at[name]], share[2 * self.at[name] + 1] = LOW, HIGH
        return share

    def ends(self, values: np.ndarray, name: str) -> tuple[float, float]:
        """A result at the low and at the high end of a name."""
        return float(values[2 * self.at[name]]), float(values[2 * self.at[name] + 1])


def middle(_name: str, count: int) -> np.ndarray:
    """All in the middle."""
    return np.full(count, MIDDLE)


def judged(row: Drawn | None) -> bool:
    """Whether a row was judged, not measured."""
    return row is not None and row.status == ELICITED
