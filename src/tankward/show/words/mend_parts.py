"""What the words after a slip share: an act said, names, times, levels."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

import msgspec

from tankward.judge.urgent import UrgentStep
from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate

from .acts import ended, upper
from .days import clock, day_said
from .lowering import share_words
from .measured import level_range, level_shown

NOTHING = 0.01  # of a full dose, or of the high end: nobody could measure it


class Said(msgspec.Struct, frozen=True, kw_only=True):
    """One act: verb first with its amount, why, how (`more`, a line each); `amount` alone, for a program."""

    head: str
    soft: str = ""
    more: tuple[str, ...] = ()
    amount: str = ""

    @property
    def why(self) -> str:
        """All that stands under the head."""
        return " ".join(t for t in (self.soft, *self.more) if t)


class Here(msgspec.Struct, frozen=True, kw_only=True):
    """What sentences need besides: names, the moment, the keeper's clock."""

    facts: Facts
    now: datetime
    zone: str

    def name(self, substance: str) -> str:
        """A substance as it is called."""
        known = self.facts.substances.get(substance)
        return known.names[0] if known else substance.replace("_", " ")

    def when(self, at: datetime) -> str:
        """ "tonight 22:00", "Thu 14 May 18:30"."""
        return f"{day_said(at, self.now, self.zone)} {clock(at, self.zone)}"


def sentences(parts: Iterable[str]) -> str:
    """Parts as sentences, what is empty left out."""
    return " ".join(ended(upper(p)) for p in parts if p)


def lines(parts: Iterable[str]) -> tuple[str, ...]:
    """Parts as lines of their own, what is empty left out."""
    return tuple(sentences([p]) for p in parts if p)


def joined(one: str, other: str) -> str:
    """Two halves of a sentence; one where the other is empty."""
    return f"{one}; {other}" if other else one


def level_of(x: Estimate, unit: str) -> str:
    """How strong, with its range; the unit once: "15 mg/L (12 to 18)"; 0 where nobody could measure it."""
    value = level_shown(x.value, unit)
    low = 0.0 if x.low < NOTHING * x.high else x.low
    span = level_range(low, x.high, unit) if x.high > x.low else ""
    own = value.partition(" ")[2]
    alone = span == value
    span = span.removesuffix(f" {own}") if own else span
    return value if alone or not span else f"{value} ({span})"


def left_said(x: Estimate, unit: str, name: str, full: float) -> str:
    """What is left of it: next to nothing, or how strong."""
    if x.value < NOTHING * full:
        most = f", {level_shown(x.high, unit)} at most" if x.high >= NOTHING * full else ""
        return f"Next to nothing of {name} is left{most}"
    return f"About {level_of(x, unit)} of {name} is left"


def long_said(hours: float) -> str:
    """How long: 5 hours, 3 days."""
    return f"{hours:.0f} hours" if hours < 36 else f"{hours / 24:.0f} days"


def litres_of(step: UrgentStep) -> str:
    """Litres of a change; "" where the tank's are not known."""
    return step.amount.shown if step.amount is not None and "every" not in step.amount.says else ""


def change_head(step: UrgentStep, share: float) -> str:
    """ "16 L out, 16 L in"; a part of the water where its litres are not known."""
    litres = litres_of(step)
    return f"{litres} out, {litres} in" if litres else f"Change {share_words(share)} of the water"
