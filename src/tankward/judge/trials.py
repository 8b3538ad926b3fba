"""The jar trial: 2 L of the dosed water, three shrimp, one snail, one young fish, 24 h, air. What
it showed narrows a limit.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import msgspec

from tankward.room.entries.animals import JarTrial
from tankward.room.replay import Room

TRIAL_HOURS = 24.0
TRIAL_LITRES = 2.0
TRIAL_ANIMALS = (("shrimp", 3), ("snail", 1), ("young fish", 1))


class Trial(msgspec.Struct, frozen=True, kw_only=True):
    """One kind of animal in a jar of dosed water."""

    substance: str
    animal: str  # id of the animal, or the keeper's name for it
    level: float  # in the substance's own unit
    hours: float
    harmed: bool


def passed(trials: Sequence[Trial], substance: str, animal: str) -> float | None:
    """Highest level that did no harm below every level that did; 0 if only harm was seen; None without a
    trial.

    Notes
    -----
    A trial shorter than 24 h shows harm but never its absence.
    """
    mine = [t for t in trials if t.substance == substance and t.animal == animal]
    if not mine:
        return None
    harm = min((t.level for t in mine if t.harmed), default=float("inf"))
    fine = [t.level for t in mine if not t.harmed and t.hours >= TRIAL_HOURS and t.level < harm]
    if fine:
        return max(fine)
    return 0.0 if harm < float("inf") else None


def trials_of(room: Room, tank_id: str) -> tuple[Trial, ...]:
    """Jar trials done with a tank's water. Where any looked ill, none counts as well."""
    return tuple(t for e in room.of_tank(tank_id) if isinstance(e, JarTrial) for t in _trials(e))


def _trials(entry: JarTrial) -> Iterator[Trial]:
    for animal in {**entry.lived, **entry.died}:
        harmed = bool(entry.ill) or entry.died.get(animal, 0.0) > 0
        for substance, level in entry.conc_mg_l.items():
            yield Trial(substance=substance, animal=animal, level=level, hours=entry.hours, harmed=harmed)
