"""What may be so of a course, how likely each is, and what may be said of it.

bites: the cause is right, and the course at least halves what is carried. weak: it is right, and what is
given does less than that. idle: it is right, and nothing of it arrives or acts. other: another cause.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import msgspec
import numpy as np

from .choices import Choice

Name = Literal["bites", "weak", "idle", "other"]
NAMES: tuple[Name, ...] = ("bites", "weak", "idle", "other")


def _own(value: float, unit: str, why: str) -> Choice:
    return Choice(value=value, unit=unit, why=why, status="memory")


SAID_HELPING = _own(0.85, "chance", "from here on a course is said to be helping")
SAID_NOT = _own(0.15, "chance", "up to here it is said to be not helping")
IDLE = _own(0.2, "chance", "a medicine that acts elsewhere does nothing here: spoiled, taken out, resisted")
LEAST_RIGHT = _own(0.5, "chance", "a course is begun against what is held likelier than not")
MOST_RIGHT = _own(0.95, "chance", "no cause is surer than that by signs")
MOVED = _own(2.0, "ratio", "the counts must have moved the odds so far, or nothing is said of a course")
TOLD_APART = _own(0.75, "chance", "looks can decide it once they point so often to what is so")


class Chances(msgspec.Struct, frozen=True, kw_only=True):
    """How likely each is; they add up to 1."""

    bites: float
    weak: float
    idle: float
    other: float

    @property
    def helping(self) -> float:
        """That it bites."""
        return self.bites

    @property
    def too_little(self) -> float:
        """That the cause is right and the course does too little, or nothing."""
        return self.weak + self.idle

    @property
    def each(self) -> tuple[float, ...]:
        """In the order of `NAMES`."""
        return (self.bites, self.weak, self.idle, self.other)


def prior_of(right: float, share: float) -> Chances:
    """Before anything was seen of the course.

    Parameters
    ----------
    right : float
        That the cause is the one it was begun against. [0 to 1]
    share : float
        Of the draws of the facts in which it bites, where it arrives. [0 to 1]
    """
    right = min(max(right, LEAST_RIGHT.value), MOST_RIGHT.value)
    arrives = right * (1.0 - IDLE.value)
    return Chances(
        bites=arrives * share, weak=arrives * (1.0 - share), idle=right * IDLE.value, other=1.0 - right
    )


def moved(prior: Chances, now: Chances) -> float:
    """By how much what was seen moved the odds that it is helping."""
    return _odds(now.helping) / _odds(prior.helping)


def _odds(chance: float) -> float:
    return max(chance, 1e-9) / max(1.0 - chance, 1e-9)


def said(prior: Chances, now: Chances) -> Literal["helping", "not-helping", ""]:
    """What may be said: only what is likely, and what the counts have made likelier than it was."""
    by = moved(prior, now)
    if now.helping >= SAID_HELPING.value and by >= MOVED.value:
        return "helping"
    if now.helping <= SAID_NOT.value and by <= 1.0 / MOVED.value:
        return "not-helping"
    return ""


def posterior(prior: Chances, logs: Sequence[float]) -> Chances:
    """What was seen since held against each.

    Parameters
    ----------
    prior : Chances
        Before.
    logs : sequence of float
        ln of the chance of what was seen under each, in the order of `NAMES`.
    """
    p, told = np.array(prior.each), np.array(logs)
    there = p > 0
    heavy = np.where(there, p * np.exp(np.where(there, told, -np.inf) - told[there].max()), 0.0)
    bites, weak, idle, other = (float(x) for x in heavy / heavy.sum())
    return Chances(bites=bites, weak=weak, idle=idle, other=other)
