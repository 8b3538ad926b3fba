"""When a course stops, what goes back, who stays where they are, when suffering is ended."""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.treat.when_to_stop import Back, Ending, Rounds, Survivor

from .acts import upper
from .causes import short_name
from .days import clock, day_margin, day_said
from .measured import level_shown
from .remedies import substance_name
from .signs import sign_words

STOP_AT_ONCE = (
    "Stop at once if they gasp, roll or lie on the side, or if shrimp jump or lie still: change half of the "
    "water, air up."
)
DEAD = (
    "The dead out at once, one in a bag in the fridge, not the freezer: opened or sent within hours it tells "
    "most."
)
VET_FIRST = (
    "A fish may be suffering: {signs}, since {day}. Ask a veterinarian first: one can end it, and knows what "
    "the law asks."
)
MEANWHILE = "Until then: shallow calm water, air, dim light, and nobody who chases it."
HOW = "A humane end, step by step"
BOTH = "Whether the water is good decides about gasping: read ammonia, nitrite and warmth first."


class BackRow(msgspec.Struct, frozen=True, kw_only=True):
    """What comes back: its day in the margin."""

    margin: str
    head: str
    soft: str


def stop_says(found: Ending, now: datetime, zone: str) -> list[str]:
    """When it stops, by rounds, by day, by signs."""
    told = [STOP_AT_ONCE]
    if found.rounds is not None:
        told += _rounds(found.rounds)
    ends = day_said(found.ends, now, zone)
    told.append(
        f"Its last step was {ends}." if found.over else f"It ends {ends}, not sooner because signs fade."
    )
    if found.dead:
        told.append(DEAD)
    return told


def _rounds(rounds: Rounds) -> list[str]:
    label = f", the label's {rounds.label}" if rounds.label else ""
    doses = f"Doses given: {rounds.given} of at most {rounds.most}{label}"
    left = f", {rounds.planned} to come" if rounds.planned else ", none to come"
    told = [f"{doses}{left}. No more than that, and no round added because it did not help."]
    if rounds.third is not None:
        told.append(
            f"No further course: {rounds.third.because} Would change it: {rounds.third.would_change}."
        )
    return told


def back_rows(found: Ending, now: datetime, zone: str, facts: Facts) -> list[BackRow]:
    """Carbon, animals and plants, each with its day."""
    return [_back(b, now, zone, facts) for b in found.back]


def _back(b: Back, now: datetime, zone: str, facts: Facts) -> BackRow:
    day = "no day" if b.on is None else day_margin(b.on, now, zone)
    if b.what == "carbon":
        soft = "Not before: it takes out what is given. After two days in, it is thrown away."
        return BackRow(margin=day, head="Carbon back into the filter", soft=soft)
    return BackRow(margin=day, head=f"{b.stock} back into the tank", soft=_bears(b, now, zone, facts))


def _bears(b: Back, now: datetime, zone: str, facts: Facts) -> str:
    """What they bear of what is still there, and from when on it is less."""
    name = substance_name(b.substance, facts) if b.substance else ""
    if b.on is not None and not name:
        return "By the forecast nothing that was given is in the water any more."
    if b.limit is None:
        return f"What they bear of {name or 'what is given'} isn't known: a jar trial first."
    if not b.limit:
        return f"No amount of {name} is known to be borne: only once it is changed out, after a jar trial."
    bears = level_shown(b.limit, b.unit)
    if b.on is None:
        return f"{upper(name)} stays over {bears}, what they are taken to bear, as far as it is reckoned."
    at = f", from {clock(b.on, zone)} on" if b.on > now else ""
    return f"{upper(name)} is under {bears} in nine of ten such tanks{at}: what they are taken to bear."


def survivor_says(found: Ending, now: datetime, zone: str, facts: Facts) -> list[str]:
    """Who may be sold or mixed from when on; never that anything is gone (safety rule 26)."""
    return [_survivor(s, now, zone, facts) for s in found.survivors]


def _survivor(s: Survivor, now: datetime, zone: str, facts: Facts) -> str:
    name = short_name(s.cause, facts)
    if s.until is None:
        return (
            f"Those that live through {name} may carry it for life, or nobody knows how long: they are not "
            "sold, given or mixed."
        )
    day = day_said(s.until, now, zone)
    return (
        f"Those that live through {name} may carry it: they are not sold, given or mixed before {day}, and "
        "later if a sign is seen again."
    )


def suffering_says(found: Ending, now: datetime, zone: str, facts: Facts) -> list[str]:
    """A humane end comes into question; a veterinarian first (rules 32, 33)."""
    if not found.suffering:
        return []
    signs = ", ".join(sign_words(s.sign, facts) for s in found.suffering)
    since = day_said(min(s.since for s in found.suffering), now, zone)
    gasps = any(s.sign == "gasping_surface" for s in found.suffering)
    return [VET_FIRST.format(signs=signs, day=since), *([BOTH] if gasps else []), MEANWHILE]
