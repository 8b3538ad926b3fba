"""The water line: it falls as water evaporates, substances stay, topping up or a change brings it back.

How fast it falls only the keeper's own top-ups tell: a cover makes a factor of ten, and what is topped
up without a word leaves nothing to see. So it is followed where two or more of them were entered, and
taken as kept elsewhere (cautions say how much that may be). The processes run on the full volume: what
they do with a tenth less water differs by a few per cent of a rate that is known to half. The levels
that are told are those of the water there is.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

import msgspec
import numpy as np

from tankward.knowledge.beliefs import estimated
from tankward.quantities.parse import Estimate
from tankward.room.acts import AnyAct, Change, TopUp

from .draws import uniform
from .events import Timed
from .rows import Array, Rows
from .setup import Setup

DAY_MIN = 1440.0
UNSURE = 1.3  # × ÷: from week to week it evaporates more or less [memory]
MOST_GONE = 0.3  # a keeper has topped up by then, entered or not [memory]


class WaterLine(msgspec.Struct, frozen=True):
    """How many litres are missing, for each draw: just after each refill, and how fast more go."""

    volume_l: Array
    litres_min: Array
    refilled: tuple[tuple[float, Array], ...]  # minute, missing after it; the first is for the beginning

    def missing_l(self, minute: float, *, after: bool) -> Array:
        """Litres missing at a minute, before or after a refill in it."""
        then, missing = [r for r in self.refilled if r[0] < minute or (after and r[0] == minute)][-1]
        gone = missing + self.litres_min * max(minute - then, 0.0)
        return np.asarray(np.minimum(gone, MOST_GONE * self.volume_l))

    def share(self, minute: float, *, after: bool) -> Array:
        """Water there is, against the full tank. [-]"""
        return np.asarray(1.0 - self.missing_l(minute, after=after) / self.volume_l)

    def shares(self, minutes: tuple[int, ...]) -> Array:
        """The same for each record; of two at one minute the first is before what happens."""
        pairs = zip(minutes, (*minutes[1:], -1), strict=True)
        return np.array([self.share(m, after=m != following) for m, following in pairs])


def water_line(setup: Setup, timed: Iterable[Timed], th: Rows, draws: int) -> WaterLine | None:
    """The line of a run; None where it is taken as kept."""
    if setup.evaporates_l_d is None:
        return None
    rate = estimated(setup.evaporates_l_d, uniform("carbonate", draws, 3)) / DAY_MIN
    line = WaterLine(th.volume_l, rate, ((-DAY_MIN * setup.falling_d - 1.0, np.zeros(draws)),))
    for t in sorted(timed, key=lambda t: t.minute):
        if isinstance(t.what, TopUp | Change) and t.minute >= 0:
            missing = line.missing_l(t.minute, after=True)
            left = np.maximum(missing - t.what.volume_l, 0.0) if isinstance(t.what, TopUp) else 0.0 * missing
            line = msgspec.structs.replace(line, refilled=(*line.refilled, (float(t.minute), left)))
    return line


def evaporating(done: Iterable[tuple[datetime, AnyAct]], start: datetime) -> tuple[Estimate | None, float]:
    """Litres a day by the top-ups that were entered, and for how many days the line had been falling."""
    acts = sorted(((at, a) for at, a in done if isinstance(a, TopUp | Change)), key=lambda one: one[0])
    topped = [(at, a.volume_l) for at, a in acts if isinstance(a, TopUp)]
    if len(topped) < 2 or topped[-1][0] <= topped[0][0]:
        return None, 0.0
    days = (topped[-1][0] - topped[0][0]) / timedelta(days=1)
    litres_d = sum(litres for _, litres in topped[1:]) / days
    before = [at for at, _ in acts if at < start]
    falling_d = (start - before[-1]) / timedelta(days=1) if before else 0.0
    return Estimate(litres_d, litres_d / UNSURE, litres_d * UNSURE), falling_d
