"""Sentences about what is suspected in a tank: how many there will be, what it costs, when it is gone."""

from __future__ import annotations

from math import isnan

from tankward.knowledge.known import Facts
from tankward.model.result import GoneBy, Outlook, Series

from .acts import listed, upper
from .chance import chance_words
from .places import place_words, span_said
from .remedies import substance_name

HOLDS = {
    "cautious-bound": "The true chance is rather higher: crowding and fish that resist slow it, and are not "
    "counted in it.",
    "while-few": "That holds while they are few; near the most that a tank carries it is too low.",
    "never-gone": "It lives in every tank. Gone is no goal; that no fish is ill is one.",
}
RECALLED = "Much that is known of its life is recalled, not read: the range is wide for that."


def germ_name(organism: str, cause: str, facts: Facts) -> str:
    """What the keeper calls it."""
    if cause in facts.causes and len(facts.causes[cause].organisms) == 1:
        return facts.causes[cause].name.split(" (")[0]
    return facts.organisms[organism].common[0]


def outlook_says(o: Outlook, now_row: int, facts: Facts) -> list[str]:
    """What comes if it is this one: where it sits, when it is gone, whether that chance holds.

    `now_row`: of the forecast's times, from which its lines are told.
    """
    told = [f"If it is {germ_name(o.organism, o.cause, facts)} (suspected, not proven):"]
    told += [f"  {_line_says(s, now_row)}" for s in o.series]
    if o.withheld:
        return [*told, f"  {withheld_says(o, facts)}", *(f"  {line}" for line in notes_of(o, facts))]
    if o.chances:
        told += [f"  {gone_by_days(o)}", f"  {HOLDS[o.holds]}"]
    return [*told, *(f"  {line}" for line in notes_of(o, facts))]


def gone_by_days(o: Outlook) -> str:
    """By which day it is how likely gone, and the last of them in words."""
    days = [f"day {c.days:.0f} {percent(c.low, c.high)}" for c in o.chances]
    last = o.chances[-1]
    what = "no fish is ill" if o.holds == "never-gone" else "all are gone"
    return f"How likely {what}: {', '.join(days)}: {chance_words(last.low, last.high, last.value)}."


def notes_of(o: Outlook, facts: Facts) -> list[str]:
    """What it begins with, and what is not known of it."""
    told = []
    if not o.counted:
        told.append("Nothing was counted, so it begins with what is usual when it is first seen.")
    for substance, stages in o.silent.items():
        if substance not in o.acts:
            told.append(f"Nothing is known of what {substance_name(substance, facts)} does to it.")
        elif stages:
            told.append(f"What {substance_name(substance, facts)} does to some of its stages isn't known.")
    return [*told, *_recalled(o, facts)]


def _recalled(o: Outlook, facts: Facts) -> list[str]:
    """Said where a number that was drawn was judged and not measured."""
    rows = facts.organisms[o.organism].parameter
    return [RECALLED] if any(p.use and p.status == "memory" for p in rows) else []


def withheld_says(o: Outlook, facts: Facts) -> str:
    """Why there is no chance that it is gone."""
    names = listed([substance_name(s, facts) for s in o.withheld])
    name = germ_name(o.organism, o.cause, facts)
    return (
        f"{upper(name)}, how likely all gone: not said. Nobody knows what {names} does to every stage of it."
    )


def cleared_says(o: Outlook, facts: Facts, *, by_medicine: bool = True) -> str:
    """What a course makes of it: the chance that it is gone at its end, and how to read that."""
    name = germ_name(o.organism, o.cause, facts)
    told = [gone_says(o, o.chances[-1], facts), HOLDS[o.holds], *_recalled(o, facts)]
    if by_medicine and not o.acts:
        told.append(f"Nothing that is in the water then is known to kill {name}.")
    return " ".join(told)


def gone_says(o: Outlook, c: GoneBy, facts: Facts) -> str:
    """The chance that it is gone by a day, or that no fish is ill."""
    what = upper(gone_what(o, c, facts))
    return f"{what}: {chance_words(c.low, c.high, c.value)} ({percent(c.low, c.high)})."


def gone_what(o: Outlook, c: GoneBy, facts: Facts) -> str:
    """What the chance is of."""
    days = f"in {c.days:.0f} days" if round(c.days) != 1 else "in a day"
    name = germ_name(o.organism, o.cause, facts)
    return f"{name}, {'no fish ill' if o.holds == 'never-gone' else 'all gone'} {days}"


def percent(low: float, high: float) -> str:
    """Two chances as whole per cents."""
    ends = [round(100 * v) for v in (low, high)]
    if ends[1] == 0:
        return "under 1 %"
    return f"{ends[0]} %" if ends[0] == ends[1] else f"{ends[0]} to {ends[1]} %"


def percent_ends(low: float, high: float) -> str:
    """The same where a small chance is the point: never nil, and no digits that nobody can tell."""
    if high < 0.01:
        return "under 1 %"
    first, last = (f"{round(100 * v)}" for v in (low, high))
    return f"{first} %" if first == last else f"{'under 1' if low < 0.01 else first} to {last} %"


def _line_says(s: Series, now_row: int) -> str:
    """A place now, or where it is first followed, and at the end."""
    first = next((n for n in range(now_row, len(s.value)) if not isnan(s.value[n])), len(s.value) - 1)
    if s.name == "fish_lost":
        few, many = round(s.low[-1]), round(s.high[-1])
        return f"fish that die of it: {few if few == many else f'{few} to {many}'} by the end"
    by = 100.0 if s.unit == "1" else 1.0
    name, unit = place_words(s)
    begun, ended = (span_said(by * s.low[n], by * s.high[n]) for n in (first, -1))
    return f"{name[:1].lower()}{name[1:]}: {begun} {unit} now, {ended} at the end"
