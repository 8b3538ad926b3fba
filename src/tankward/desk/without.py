"""A remedy without medicine as it was typed: its id, and what was asked of it."""

from __future__ import annotations

from typing import Protocol, TypedDict

from tankward.knowledge.known import Facts
from tankward.knowledge.plain import plain
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import quantity
from tankward.treat.course.without import DATED

HOURS_A_DAY = 24.0


class Typed(Protocol):
    """What of it may be typed."""

    @property
    def substance(self) -> str: ...
    @property
    def route(self) -> str: ...
    @property
    def remedy(self) -> str: ...
    @property
    def days(self) -> str: ...
    @property
    def every(self) -> str: ...
    @property
    def moved(self) -> str: ...
    @property
    def tub(self) -> str: ...
    @property
    def change(self) -> str: ...
    @property
    def siphon(self) -> str: ...


class Knobs(TypedDict):
    """As arguments of `without_course`."""

    days: float | None
    every_h: float | None
    move_days: float | None
    tub_l: float | None
    change_share: float | None
    siphon: float | None


def remedy_of(wanted: Typed, facts: Facts) -> str:
    """The id of the remedy without medicine that is meant, by its own field or as the route; "" for none.

    Raises
    ------
    BadInput
        For one that is not known, or that comes with a substance.
    """
    known = {plain(words): r.id for r in facts.remedies.values() for words in (r.id, r.name)}
    by_route = known.get(plain(wanted.route), "") if wanted.route else ""
    if not wanted.remedy:
        found = by_route
    elif (found := known.get(plain(wanted.remedy), "")) == "":
        raise BadInput("remedy", wanted.remedy, f"is no remedy with dated steps. Write {', '.join(DATED)}.")
    if not found and not wanted.substance:
        raise BadInput("substance", "", "is missing: which one, or which remedy without medicine?")
    if found and wanted.substance:
        raise BadInput("substance", wanted.substance, f"is not part of {facts.remedies[found].name}.")
    return found


def knobs_of(wanted: Typed) -> Knobs:
    """What was asked of it; None leaves it to the facts."""
    return Knobs(
        days=days_of(wanted.days, "days"),
        every_h=_hours(wanted.every),
        move_days=days_of(wanted.moved, "moved"),
        tub_l=quantity(wanted.tub, "volume", "tub").value if wanted.tub else None,
        change_share=quantity(wanted.change, "share", "change").value if wanted.change else None,
        siphon=quantity(wanted.siphon, "share", "siphon").value if wanted.siphon else None,
    )


def days_of(text: str, field: str) -> float | None:
    return quantity(text, "time", field).value / HOURS_A_DAY if text else None


def _hours(text: str) -> float | None:
    """ "never" is 0: they stay in one tub."""
    if text.strip().lower() in ("never", "no", "0"):
        return 0.0
    return quantity(text, "time", "every").value if text else None
