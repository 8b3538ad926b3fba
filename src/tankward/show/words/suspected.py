"""What may come of a suspected organism, said on the page of its tank: never as what it is, only as if."""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.model.result import GoneBy, Outlook

from .acts import upper
from .chance import chance_words
from .days import day_margin, day_said
from .outlook import HOLDS, germ_name, notes_of, percent, withheld_says
from .places import span_said

PROVES = "Suspected, not proven: no look at a fish proves a cause."


class GoneRow(msgspec.Struct, frozen=True, kw_only=True):
    """The chance that it is gone by a day."""

    day: str
    words: str
    low: float
    high: float
    numbers: str


def if_it_is(o: Outlook, facts: Facts) -> str:
    """ "If it is white spot"."""
    return f"If it is {germ_name(o.organism, o.cause, facts)}"


def line_said(name: str, unit: str, low: float, high: float) -> str:
    """A place in one line: "on the fish 3 to 40 a fish"."""
    return f"{name[0].lower()}{name[1:]} {span_said(low, high)} {unit}"


def also_there(lines: list[str]) -> str:
    """The places that have no strip."""
    return f"{upper('; '.join(lines))}." if lines else ""


def lost_said(o: Outlook, end: datetime, now: datetime, zone: str) -> str:
    """How many fish it may cost, from when it was first seen."""
    line = next((s for s in o.series if s.name == "fish_lost"), None)
    if line is None:
        return ""
    few, many = round(line.low[-1]), round(line.high[-1])
    number = "none" if not many else f"{few}" if few == many else f"{few} to {many}"
    return f"Fish that die of it until {day_said(end, now, zone)}: {number}."


def gone_title(o: Outlook) -> str:
    """What the rows below are the chance of."""
    return "Chance that no fish is ill by" if o.holds == "never-gone" else "Chance that it is gone by"


def gone_rows(o: Outlook, now: datetime, zone: str) -> list[GoneRow]:
    """By day, in words."""
    return [_gone(c, now, zone) for c in o.chances]


def _gone(c: GoneBy, now: datetime, zone: str) -> GoneRow:
    return GoneRow(
        day=day_margin(c.by, now, zone),
        words=upper(chance_words(c.low, c.high, c.value)),
        low=c.low,
        high=c.high,
        numbers=percent(c.low, c.high),
    )


def holds_said(o: Outlook, facts: Facts) -> str:
    """For what the chances are good; or why there are none."""
    return withheld_says(o, facts) if o.withheld else HOLDS[o.holds] if o.chances else ""


def rests_on(o: Outlook, facts: Facts) -> list[str]:
    """What it begins with and what isn't known."""
    return [PROVES, *notes_of(o, facts)]
