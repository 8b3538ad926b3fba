"""What a measurement came to, in a sentence; what is said beside the salt."""

from __future__ import annotations

from collections.abc import Sequence

from tankward.knowledge.known import Facts
from tankward.quantities.digits import plain_number, shown, shown_range
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer
from tankward.room.entries.animals import JarTrial, NetfulWeighed
from tankward.room.entries.base import Entry
from tankward.room.entries.shelf import HoseTimed, SpoonWeighed
from tankward.room.entries.tanks import WaterMeasured
from tankward.room.replay import Room
from tankward.room.things import Kit, Weighing
from tankward.room.time import local

from .acts import ended, listed, upper
from .kit import kit_lines, minutes_said, trial_words


def found_says(
    entry: Entry, answer: Answer, before: Estimate | None, room: Room, facts: Facts
) -> tuple[str, str]:
    """The heading of an answer, and the line under it."""
    match entry:
        case SpoonWeighed():
            name = facts.substances[entry.powder].names[0]
            return (
                f"One level {entry.spoon} holds {answer.shown} of {name} ({answer.shown_range}).",
                "Amounts of it can be told in this spoon from now on, where a spoon is good enough.",
            )
        case HoseTimed():
            ten = minutes_said(10.0 / (answer.value or 1.0))
            return f"Your hose gives {shown(answer.value or 0.0, 'L')} a minute.", f"10 L take {ten}."
        case NetfulWeighed():
            return _netful(entry, answer, before, room)
        case WaterMeasured():
            was = f"Until now we took it for {_span(before, 'L')}." if before else ""
            return f"{_tank(entry, room)} holds {answer.shown} of water ({answer.shown_range}).", was
        case JarTrial():
            return _jar(entry, facts)
    return "", ""


def _tank(entry: Entry, room: Room) -> str:
    return room.tanks[entry.tank].name if entry.tank in room.tanks else "The tank"


def _span(value: Estimate, unit: str) -> str:
    return shown_range(value.low, value.high, unit)


def _netful(entry: NetfulWeighed, answer: Answer, before: Estimate | None, room: Room) -> tuple[str, str]:
    group = room.stock[entry.stock]
    number, one = group.number.value, answer.value or 0.0
    all_of_them = f"All {plain_number(number)} together about {shown(one * number, 'g')}."
    was = f" Until now we took one for {_span(before, 'g')}." if before else ""
    return f"One of the {group.name} weighs {answer.shown} ({answer.shown_range}).", f"{all_of_them}{was}"


def _jar(entry: JarTrial, facts: Facts) -> tuple[str, str]:
    told = trial_words(entry, facts)
    if any(entry.died.values()) or entry.ill:
        return f"Not in the tank: {told}.", "Some were harmed, so nothing of it is offered for these animals."
    if entry.hours < 24:
        return f"{upper(told)}.", "Under a day only harm counts: leave them in until it was 24 hours."
    return (
        f"{upper(told)}.",
        "These animals bear it so strong for a day. Where something is known to harm, it stands.",
    )


def kit_says(what: str, kit: Kit, facts: Facts) -> tuple[str, str]:
    """What is now known of one thing of the kit."""
    named = {"scale": "Scale", "syringes": "Syringes", "buckets": "Buckets", "tests": "Test kits"}[what]
    words = dict(kit_lines(kit, facts))[named]
    more = ""
    if what == "scale" and kit.scale_g:
        more = f"The least to weigh on it is {shown(10 * kit.scale_g, 'g')}, ten of its steps."
    return f"{named}: {words or 'not known'}.", more


def salt_lines(
    grams: float | None,
    level_mg_l: float,
    rise_us_cm: float,
    strictest: str,
    minds: Sequence[str],
    unknown: Sequence[str],
    status: str,
) -> list[str]:
    """How much salt is small enough, and for whom nothing is."""
    rows = []
    if minds:
        rows.append(
            f"Not with {listed(list(minds))}: no amount is known to be harmless. Count buckets instead."
        )
    many = (
        f"{shown(grams, 'g')} of salt"
        if grams is not None
        else f"{shown(level_mg_l * 10, 'mg')} of salt for 10 L"
    )
    by = f"half of what {strictest} bear" if strictest else "a tenth of a gram in a litre"
    how = {"published-read": "published", "memory": "recalled, not read"}.get(status, "usual practice")
    if not minds:
        rows.append(
            f"At most {many}, no iodine, no additives: {by} ({how}). The pen shows about "
            f"{round(rise_us_cm, -1):.0f} µS/cm more."
        )
    if unknown:
        rows.append(f"Of {listed(list(unknown))} nothing is known: count buckets if any may be there.")
    return [ended(r) for r in rows]


AGE_D = {"fry": 14, "juvenile": 30}
ADULT_AGE_D = 180


def weighed_line(weighed: Weighing, stage: str, age_d: float) -> str:
    """What one weighs, when it was weighed, and whether that still tells anything."""
    there = local(weighed.at, weighed.zone)
    old = age_d > AGE_D.get(stage, ADULT_AGE_D)
    again = " They have grown since: weigh again." if old else ""
    span = shown_range(weighed.one_g.low, weighed.one_g.high, "g")
    return f"One weighs {span}, a netful of {plain_number(weighed.number)} on {there.day} {there:%B}.{again}"
