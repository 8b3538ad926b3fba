"""Doses that went in and lie over everything published: kept as they happened, never without a word."""

from __future__ import annotations

from datetime import datetime, timedelta

import msgspec

from tankward.judge.choices import MEDICINE_H
from tankward.knowledge.known import Facts
from tankward.room.acts import Dose
from tankward.room.holds import there_now
from tankward.room.replay import Room
from tankward.treat.amounts.published import Published, beyond
from tankward.treat.label_parts import dosed_published


class Overdose(msgspec.Struct, frozen=True, kw_only=True):
    """One active of one dose, over the published span."""

    at: datetime
    substance: str
    level: float  # in the unit of `published`
    published: Published


def overdoses(room: Room, tank: str, now: datetime, facts: Facts) -> tuple[Overdose, ...]:
    """Doses of the last two days over the published span; by the water that was there at each; none where
    the litres are not known.
    """
    since = now - timedelta(hours=MEDICINE_H.value)
    given = [(at, act) for at, act in room.acts(tank) if since <= at <= now and isinstance(act, Dose)]
    found = (
        _over(at, substance, amount / litres.value, facts)
        for at, act in given
        if (litres := there_now(room.tanks[tank], room, at)) is not None
        for substance, amount in act.actives.items()
    )
    return tuple(o for o in found if o is not None)


def _over(at: datetime, substance: str, level: float, facts: Facts) -> Overdose | None:
    if substance not in facts.substances:
        return None
    span = dosed_published(substance, facts)
    lies = beyond(level, span) if span is not None else ""
    if span is None or lies not in ("above", "refused"):
        return None
    return Overdose(at=at, substance=substance, level=level, published=span)
