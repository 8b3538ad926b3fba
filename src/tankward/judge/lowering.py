"""Safety rule 21: what must be minded when the water is lowered by half, for a change or for a dose."""

from __future__ import annotations

from .choices import HALF_CHANGE, Choice
from .little_water import HANGS_DRY

HEATER_COOLS_MIN = Choice(
    value=15.0, unit="min", why="a heater stays hot after its plug is out, and cracks in the air"
)
# So much of the water gone, the ammonia of the same fish rises so many times as fast: 1 ÷ (1 − share).
NEARLY = 1e-9


def lowers(share: float | None) -> bool:
    """Whether so much comes out that a heater or an inlet may hang dry: half, or more."""
    return share is not None and share >= min(HALF_CHANGE.value, 1.0 - HANGS_DRY.value) - NEARLY


def times_as_fast(share: float) -> float:
    """How many times as fast ammonia rises in what is left. [-]"""
    return 1.0 / (1.0 - min(share, 0.99))
