"""What stood in the water since a course began, against what works and what the animals bear."""

from __future__ import annotations

from datetime import datetime

import msgspec
import numpy as np

from tankward.judge.choices import LC50_REFUSED
from tankward.judge.limit import Limit
from tankward.judge.limits import limits
from tankward.judge.progress import Progress
from tankward.judge.trials import trials_of
from tankward.knowledge.known import Facts
from tankward.model.bands import band, chance
from tankward.model.record import Record
from tankward.model.rows import Array
from tankward.model.simulate import WATER, minutes
from tankward.quantities.parse import Estimate
from tankward.room.replay import Room

from .drugs_ahead import TRACE, works_from
from .medicine import is_medicine


class InWater(msgspec.Struct, frozen=True, kw_only=True):
    """One medicine. `under_share`: of the time since it first stood there in which half of the draws lie
    under `least`; `never`: the chance that it never came up to it. `over`: the chance that it passed `most`,
    from where on nothing is offered to the tenderest here; None: nobody knows.
    """

    substance: str
    unit: str
    low: float
    high: float
    least: float | None
    under_share: float = 0.0
    never: float = 0.0
    most: float | None = None
    who: str = ""
    over: float | None = None
    source: str = "none"
    status: str = "memory"

    @property
    def told(self) -> dict[str, str | float]:
        """For a sentence."""
        found: dict[str, str | float] = {
            "substance": self.substance, "unit": self.unit, "low": self.low, "high": self.high,
            "under": self.under_share, "never": self.never,
        }  # fmt: skip
        found |= {"least": self.least} if self.least is not None else {}
        return found | ({"most": self.most, "who": self.who} if self.most is not None else {})


def in_water(found: Progress, room: Room, now: datetime, facts: Facts) -> tuple[InWater, ...]:
    """The medicines of a course that is held against the life of its organism; else none."""
    if found.helped is None:
        return ()
    learning, told = found.helped.learning, found.helped.told
    record = learning.record
    given, here = (minutes(at, told.start) for at in (found.course.at, now))
    names = [s for s in record.names if s not in WATER and is_medicine(s, facts)]
    rows = (_one(s, record, learning.weights, (given, here), found, room, facts) for s in names)
    return tuple(r for r in rows if r is not None)


def _one(
    substance: str,
    record: Record,
    weights: Array,
    span: tuple[int, int],
    found: Progress,
    room: Room,
    facts: Facts,
) -> InWater | None:
    times = np.array(record.minutes)
    levels = record.levels(substance)[(times >= span[0]) & (times <= span[1])]
    when = times[(times >= span[0]) & (times <= span[1])]
    if levels.size == 0 or levels.max() <= 0:
        return None
    first = int(np.argmax(np.median(levels, axis=1) > 0))
    levels, when = levels[first:], when[first:]
    least = works_from(substance, (found.course.cause,), facts)
    now = _clear(band(levels[-1], weights), TRACE * float(levels.max()))
    made = InWater(
        substance=substance, unit=record.units[substance], low=now.low, high=now.high,
        least=least[0] if least else None, source=least[1] if least else "none",
        status=least[2] if least else "memory",
    )  # fmt: skip
    if least:
        made = msgspec.structs.replace(
            made, under_share=_share(levels, when, least[0], weights),
            never=chance(levels.max(axis=0) < least[0], weights),
        )  # fmt: skip
    borne = [
        x for x in limits(substance, room.stock_of(found.course.tank), facts,
                          trials=trials_of(room, found.course.tank))
        if x.level is not None and x.kind_of != "plant" and not x.presumed
    ]  # fmt: skip
    if not borne:
        return made
    strict = min(borne, key=too_much)
    over = chance(levels.max(axis=0) > too_much(strict), weights)
    return msgspec.structs.replace(made, most=too_much(strict), who=strict.who, over=over)


def too_much(limit: Limit) -> float:
    """From here on nothing is offered to them (rule 2): a published regimen may well pass what they are taken
    to bear.
    """
    if limit.lc50 is not None:
        return LC50_REFUSED.value * limit.lc50
    return max(limit.cap or 0.0, limit.level or 0.0)


def _clear(now: Estimate, trace: float) -> Estimate:
    """Less than a trace is nothing."""
    return Estimate(*(0.0 if end < trace else end for end in (now.value, now.low, now.high)))


def _share(levels: Array, when: Array, least: float, weights: Array) -> float:
    """Of the time, that in which it is likelier than not under a level."""
    under = np.array([chance(row < least, weights) > 0.5 for row in levels])
    if len(when) < 2:
        return float(under.mean())
    spans = np.diff(when)
    return float((spans * under[:-1]).sum() / max(spans.sum(), 1.0))
