"""A packet of fixed ratio: is there a number of packets at which every part works and nobody is harmed?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.faults import Reason

from .limit import Limit
from .verdicts import judge_level, warn_up_to


class Packet(msgspec.Struct, frozen=True, kw_only=True):
    """How many units of a packet this tank may have; `reason` where no number will do."""

    least: float  # under this a part does not work
    most: float  # over this a part harms somebody
    works_alone: tuple[str, ...] = ()  # parts that would do as a single substance
    reason: Reason | None = None


def packet(
    per_unit: Mapping[str, float],
    works_from: Mapping[str, float],
    limits: Sequence[Limit],
    hours: float,
    facts: Facts,
) -> Packet:
    """Whether some number of packets lets every part work and stay under every limit.

    Parameters
    ----------
    per_unit : mapping
        Part -> level that one unit makes in this water. [mg/L]
    works_from : mapping
        Part -> lowest level that worked. [mg/L]
    limits : sequence of Limit
        Limits of those who live there, for every part.
    hours : float
        How long it stands. [h]
    facts : Facts
        The facts, for ceilings.

    Returns
    -------
    Packet
        Refused, with the single substances that would do, where the numbers do not meet.
    """
    least = {p: works_from[p] / per_unit[p] for p in per_unit if p in works_from}
    most = {p: highest(p, limits, hours, facts) / per_unit[p] for p in per_unit}
    low, high = max(least.values(), default=0.0), min(most.values())
    if low <= high:
        return Packet(least=low, most=high)
    alone = tuple(p for p in per_unit if least.get(p, 0.0) <= most[p])
    held = min(most, key=lambda p: most[p])
    over = most[held] * per_unit[held] * 1.01
    who = tuple(x.who for x in limits if x.part == held and not _allowed(x, over, hours, facts))
    reason = Reason(
        kind="fixed-ratio",
        because="no number of packets lets every part work and stay under every limit: "
        f"{held} goes too high first",
        would_change="use " + (" or ".join(alone) + " alone" if alone else "another remedy"),
        who=who,
        status="computed",
    )
    return Packet(least=low, most=high, works_alone=alone, reason=reason)


def highest(part: str, limits: Sequence[Limit], hours: float, facts: Facts) -> float:
    """Highest level of a part that nobody is refused, by halving. [mg/L]"""
    mine = [x for x in limits if x.part == part]
    low, high = 0.0, 4.0 * max([x.usual.highest or 1.0 for x in mine], default=1.0)
    for _ in range(60):
        mid = (low + high) / 2.0
        low, high = (mid, high) if all(_allowed(x, mid, hours, facts) for x in mine) else (low, mid)
    return low


def _allowed(limit: Limit, level: float, hours: float, facts: Facts) -> bool:
    verdict = judge_level([limit], level, level, level, hours, warn_up_to=warn_up_to(limit.part, facts))[0]
    return verdict.says != "refused"
