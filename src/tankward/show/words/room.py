"""Sentences about what there is: tanks, who lives there, packets, entries."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from tankward.quantities.digits import shown, shown_range
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer
from tankward.room.things import Stock, Tank


class Lives(Protocol):
    """A group with what the facts call it."""

    @property
    def stock(self) -> Stock: ...
    @property
    def common(self) -> str: ...
    @property
    def scientific(self) -> str: ...


def count(number: Estimate) -> str:
    """A count as it is said: 18, or "about 40"."""
    return f"about {number.value:.0f}" if number.ranged else f"{number.value:.0f}"


def who_lives(groups: Iterable[Lives]) -> list[str]:
    """One line a group."""
    return [_group(g) for g in groups]


def _group(g: Lives) -> str:
    called = g.stock.name or g.common
    real = g.common if g.common and g.common.lower() != called.lower().rstrip("s") else ""
    told = [
        count(g.stock.number),
        called,
        f"({real}, {g.scientific})" if real else f"({g.scientific})" if g.scientific else "(kind not known)",
    ]
    length = g.stock.length_cm
    if length is not None:
        told.append(shown_range(length.low, length.high, "cm"))
    if g.stock.stage not in ("adult", ""):
        told.append(g.stock.stage)
    return " ".join(told)


def there_words(there: Estimate | None, left: float) -> str:
    """What is in it after a loss that was not filled up; "" where nothing is missing."""
    if there is None or left == 1.0:
        return ""
    return f"{shown(there.value, 'L')} are in it now: after a loss it was not filled up."


def tank_heading(tank: Tank, water: Answer) -> str:
    """The tank and its water."""
    if water.value is None:
        return f"{tank.name}: how much water it holds is not known. Give its sizes, or volume=54L."
    return f"{tank.name} holds about {water.shown} of water ({water.shown_range})."
