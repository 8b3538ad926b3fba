"""Sentences about what is suspected in a tank: how many there will be, what it costs, when it is gone."""

from __future__ import annotations

from math import isnan

from tankward.knowledge.known import Facts
from tankward.model.result import GoneBy, Outlook, Series
from tankward.quantities.digits import shown_range

from .acts import listed, upper
from .chance import chance_words
from .remedies import substance_name

HOLDS = {
    "cautious-bound": "The true chance is rather higher: crowding and fish that resist, which slow it, are not counted in it.",
    "while-few": "That holds while they are few; near the most that a tank carries it is too low.",
    "never-gone": "It lives in every tank. Gone is no goal; that no fish is ill is one.",
}
RECALLED = "Much that is known of its life is recalled, not read: the range is wide for that."
WHERE = {
    "on fish": "on a fish", "in fish": "in a fish", "water": "in a litre of water", "surfaces":
    "on floor and glass, for a litre of water", "carriers": "in small crustaceans, for a litre of water",
}  # fmt: skip
ILL = {"on fish": "fish ill on the skin", "in fish": "fish ill within"}


def germ_name(organism: str, cause: str, facts: Facts) -> str:
    """What the keeper calls it."""
    if cause in facts.causes and len(facts.causes[cause].organisms) == 1:
        return facts.causes[cause].name.split(" (")[0]
    return facts.organisms[organism].common[0]


def outlook_says(o: Outlook, facts: Facts) -> list[str]:
    """What comes if it is this one."""
    name = germ_name(o.organism, o.cause, facts)
    told = [f"If it is {name}:", *(_line_says(s) for s in o.series if _worth(s))]
    if o.withheld:
        return [*told, withheld_says(o, facts), *_recalled(o, facts)]
    if o.chances:
        told += [gone_says(o, o.chances[-1], facts), HOLDS[o.holds]]
    return [*told, *notes_of(o, facts)]


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


def cleared_says(o: Outlook, facts: Facts) -> str:
    """What a course makes of it: the chance that it is gone at its end, and how to read that."""
    name = germ_name(o.organism, o.cause, facts)
    told = [gone_says(o, o.chances[-1], facts), HOLDS[o.holds], *_recalled(o, facts)]
    if not o.acts:
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


def _worth(s: Series) -> bool:
    """On the fish and what dies of it is told; the rest is in the lines."""
    return s.name == "fish_lost" or s.where in ("on fish", "in fish")


def _line_says(s: Series) -> str:
    """A line at its beginning and its end."""
    first = next((n for n, v in enumerate(s.value) if not isnan(v)), len(s.value) - 1)
    if s.name == "fish_lost":
        few, many = round(s.low[-1]), round(s.high[-1])
        return f"  fish that die of it by the end: {few if few == many else f'{few} to {many}'}"
    by = 100.0 if s.unit == "1" else 1.0
    unit = "%" if s.unit == "1" else ""
    begun, ended = (shown_range(by * s.low[n], by * s.high[n], unit) for n in (first, -1))
    where = ILL[s.where] if s.unit == "1" else WHERE[s.where]
    return f"  {where}: {begun} first, {ended} at the end"
