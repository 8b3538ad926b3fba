"""When doses are given: how many, how far apart, how long each stands."""

from __future__ import annotations

import msgspec

from tankward.knowledge.records.substance import Regimen
from tankward.room.things import LabelRule

MOST_ROUNDS = 3  # safety rule 12
GAP_H = 24.0  # shorter than this between two doses, the water is not cleared of the first [our own choice]
LEFT_IN_D = 7.0  # a single dose that is left in is changed out after so long [common practice, no source]
DAY_H = 24.0


class Timing(msgspec.Struct, frozen=True, kw_only=True):
    """Doses every `every_h`, each standing `stand_h`; `through`: dosed water from first to last."""

    doses: int
    every_h: float
    stand_h: float
    through: bool
    published: int | None = None
    label: int | None = None

    @property
    def at_h(self) -> tuple[float, ...]:
        return tuple(n * self.every_h for n in range(self.doses))

    @property
    def end_h(self) -> float:
        """From the first dose to the end of the last."""
        return self.at_h[-1] + self.stand_h


def by_regimen(regimen: Regimen, rule: LabelRule | None = None, held_d: float | None = None) -> Timing:
    """The published doses, never more than three nor more than the label's."""
    label = rule.most_doses if rule else None
    published = regimen.repeats_low or 1
    every = _every_h(regimen)
    doses = min(published, MOST_ROUNDS, *([label] if label else []))
    stand = regimen.duration_h_high
    if regimen.left_in or stand is None:
        stand = every or (held_d or LEFT_IN_D) * DAY_H
    every = every or stand
    return Timing(
        doses=doses,
        every_h=every,
        stand_h=stand,
        through=doses > 1 and every - stand <= GAP_H,
        published=published,
        label=label,
    )


def _every_h(regimen: Regimen) -> float | None:
    """Between two doses: the middle of the published span, whole days where it is days."""
    if regimen.interval_d_low is None:
        return None
    days = (regimen.interval_d_low + (regimen.interval_d_high or regimen.interval_d_low)) / 2
    return (round(days) if days >= 2 else days) * DAY_H


def by_label(rule: LabelRule) -> Timing:
    """The label's own rule; the number of doses still stops at three."""
    every = rule.repeat_after_h or DAY_H
    doses = min(rule.most_doses or (MOST_ROUNDS if rule.repeat_after_h else 1), MOST_ROUNDS)
    return Timing(
        doses=doses, every_h=every, stand_h=every, through=doses > 1, published=None, label=rule.most_doses
    )
