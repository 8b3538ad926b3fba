"""Water changes that bring an overdose down to what is safe, each as large and as soon as they bear it.

Rule 18: start ÷ 2ⁿ where half may be changed; smaller shares, more of them, where old and new water differ.
"""

from __future__ import annotations

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate

from .first_aid import SALTS
from .shock import EVERY_H, SMALL_EVERY_H, Bound, By, Largest, Mixes, largest, mixed

LEAST = 0.05  # of the water: less is not worth a bucket, it waits [our own choice]
DAY_H = 24.0
LONGEST_H = 14 * DAY_H
NEARLY = 1e-9


class OneChange(msgspec.Struct, frozen=True, kw_only=True):
    """One change of the series: hours from now, its share, the level that it meets and leaves."""

    at_h: float
    share: float
    before: Estimate
    after: Estimate
    by: By
    ph: float | None = None


class Series(msgspec.Struct, frozen=True, kw_only=True):
    """A row of changes. `reached`: the level is surely under the target within two weeks."""

    substance: str
    unit: str
    start: Estimate
    target: float
    changes: tuple[OneChange, ...]
    reached: bool
    bound: Bound

    @property
    def hours(self) -> float:
        """From now to the last change; 0 where none is needed."""
        return self.changes[-1].at_h if self.changes else 0.0

    @property
    def every_h(self) -> float:
        """Shortest wait between two of them."""
        waits = [b.at_h - a.at_h for a, b in zip(self.changes, self.changes[1:], strict=False)]
        return min(waits, default=EVERY_H.value)

    @property
    def limited(self) -> tuple[By, ...]:
        """What keeps a change under half, each once."""
        return tuple(dict.fromkeys(c.by for c in self.changes if c.by != "half"))

    def within(self, hours: float) -> bool:
        """Whether it reaches its target in that time."""
        return self.reached and self.hours <= hours + NEARLY


def thinning(
    substance: str,
    start: Estimate,
    target: float,
    facts: Facts,
    *,
    unit: str = "mg/L",
    old: Mixes = Mixes(),
    new: Mixes = Mixes(),
    bound: Bound,
    small: bool,
) -> Series:
    """The changes that bring a level under a target.

    Parameters
    ----------
    substance : str
        What is thinned. A salt is lowered no faster than its own rule says.
    start : Estimate
        Level now; the high end has to come under the target. [unit]
    target : float
        Over nothing. [unit]
    facts : Facts
        The facts.
    unit : str
        Of both.
    old, new : Mixes
        The tank's water and the tap's.
    bound : Bound
        What those who live there bear of a change.
    small : bool
        The tank may be old and acid (rule 17).

    Returns
    -------
    Series
        Level after n changes of one share = start × (1 − share)^n. That it fades by itself, or that carbon
        takes some, is not counted: no rate of carbon is published.
    """
    changes: list[OneChange] = []
    level, water, hours = start, old, 0.0
    phs: list[tuple[float, float]] = [] if old.ph is None else [(0.0, old.ph)]
    while level.high > target * (1.0 + NEARLY) and hours <= LONGEST_H and target > 0.0:
        most = _most(substance, water, new, bound, small, _lately(phs, hours))
        wait = DAY_H if most.by == "salt" else EVERY_H.value if most.by == "half" else SMALL_EVERY_H.value
        if most.share >= LEAST:
            after = Estimate(*(x * (1.0 - most.share) for x in (level.value, level.low, level.high)))
            changes.append(
                OneChange(at_h=hours, share=most.share, before=level, after=after, by=most.by, ph=most.ph)
            )
            level, water = after, mixed(water, new, most.share)
            phs += [] if water.ph is None else [(hours, water.ph)]
        hours += wait
    return Series(
        substance=substance, unit=unit, start=start, target=target, changes=tuple(changes),
        reached=level.high <= target * (1.0 + NEARLY), bound=bound,
    )  # fmt: skip


def _most(
    substance: str, old: Mixes, new: Mixes, bound: Bound, small: bool, lately: tuple[float, float] | None
) -> Largest:
    most = largest(old, new, bound, small=small, ph_lately=lately)
    if substance in SALTS and bound.salt_day < most.share:
        return Largest(bound.salt_day, "salt", most.ph)
    return most


def _lately(phs: list[tuple[float, float]], hours: float) -> tuple[float, float] | None:
    """Lowest and highest pH of the last day, with the one in which the day began."""
    if not phs:
        return None
    began = [ph for at, ph in phs if at <= hours - DAY_H][-1:]
    recent = [*began, *(ph for at, ph in phs if at > hours - DAY_H)]
    return min(recent), max(recent)
