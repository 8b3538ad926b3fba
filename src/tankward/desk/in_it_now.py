"""What is in the water now, against what is published, and the changes that bring it back."""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.judge.first_aid import Dilution, dilute_out, shock_limit
from tankward.judge.urgent import Told, old_or_acid
from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.room.replay import Room
from tankward.treat.amounts.published import Published, beyond
from tankward.treat.course.request import left_in
from tankward.treat.label_parts import dosed_published
from tankward.treat.medicine import is_medicine

from .bears import TRACE

STEP = 1.05  # as in a course: what is rounded to what can be measured is not too much [our own choice]


class InIt(msgspec.Struct, frozen=True, kw_only=True):
    """One medicine in the water."""

    substance: str
    level: Estimate
    published: Published | None
    lies: str  # below, within, above or refused; "" where nothing is published
    thin: Dilution | None  # water changes that bring it under the highest published level

    @property
    def over(self) -> bool:
        return self.lies in ("above", "refused")

    @property
    def surely_over(self) -> bool:
        """Over it by more than a scale's step: worth the heading of its tank."""
        return self.over and self.published is not None and self.level.value > self.published.high * STEP


def in_it_now(room: Room, tank: str, now: datetime, facts: Facts, told: Told) -> tuple[InIt, ...]:
    """The medicines of the last weeks that are still there, those over what is published first."""
    left = left_in(room, tank, facts, now)
    found = [
        _held(substance, level, facts, told)
        for substance, level in left.items()
        if is_medicine(substance, facts) and level.high > 0.0
    ]
    worth = [f for f in found if not f.published or f.level.high > TRACE * f.published.low]
    return tuple(sorted(worth, key=lambda f: not f.over))


def _held(substance: str, level: Estimate, facts: Facts, told: Told) -> InIt:
    span = dosed_published(substance, facts)
    lies = beyond(level.value, span) if span else ""
    share, every_h = shock_limit(substance, old_or_acid(told), facts)
    thin = None
    if span is not None and lies in ("above", "refused"):
        thin = msgspec.structs.replace(
            dilute_out(level.value, span.high, share=share, every_h=every_h), unit=span.unit
        )
    return InIt(substance=substance, level=level, published=span, lies=lies, thin=thin)
