"""Why a course may not be helping, and which look would tell."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from tankward.judge.next_look import NextLook
from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.treat.failing import Failing, Tell

from .acts import listed, upper
from .after import HOWS_PAST
from .causes import look_head, short_name
from .measured import level_range, level_shown
from .outlook import germ_name
from .progress import tenths
from .remedies import substance_name
from .signs import sign_words

HEADS: Mapping[str, str] = {
    "another-cause": "It is another cause",
    "too-weak": "Too little of it stood in the water",
    "not-given": "It was not all given",
    "taken-out": "The filter takes it out",
    "brought-back": "It comes back",
    "withstood": "It withstands what is given",
    "second": "A second illness has set in",
    "poisoned": "What is given harms them",
}
THEN: Mapping[str, str] = {
    "another-cause": "Nothing more of this until it is known what it is.",
    "too-weak": "Work the dose out again from the litres; never by feel.",
    "not-given": "Give what is due, the rest as planned. Never two at once.",
    "taken-out": "Take it out, then work out what to put back.",
    "brought-back": "Treat or part both tanks together; each its own net.",
    "withstood": "Another kind of substance, two half changes and a day of carbon between.",
    "second": "Nothing for it without a sore or a culture: ask a veterinarian.",
    "poisoned": "Nothing more goes in. Air, then half a change, dechlorinated and as warm.",
}
LOOKS: Mapping[str, str] = {
    "vet-dead": "A fresh dead fish opened by a veterinarian would settle it.",
    "recount-litres": "Count the litres again: buckets, or salt and a pen.",
    "tick-steps": "Go through the steps and tick what was done.",
    "open-filter": "Open the filter and look what is in it.",
    "siphon": "Siphon the floor into a white cup and look.",
    "scrape-again": "A scrape or a fresh dropping under the microscope, beside the one from before.",
    "vet-culture": "A swab of the sore, for a veterinarian.",
    "half-change": "Look again an hour after half a change: better by then says that it was this.",
}
MEDIA = {
    "activated_carbon": "Carbon",
    "zeolite": "Zeolite",
    "ultraviolet": "An ultraviolet lamp",
    "resin": "Resin",
}


class FailRow(msgspec.Struct, frozen=True, kw_only=True):
    """One reason as it is shown."""

    rank: str
    head: str
    speaks_for: str
    against: str
    look: str
    then: str
    mark: str


def fail_rows(
    found: tuple[Failing, ...], room: Room, facts: Facts, next_look: NextLook | None = None
) -> list[FailRow]:
    """Every reason, in the order in which they came; those beside it have no number."""
    rows, rank = [], 0
    for one in found:
        rank += 0 if one.beside else 1
        rows.append(_row(one, "" if one.beside else f"{rank}", room, facts, next_look))
    return rows


def _row(one: Failing, rank: str, room: Room, facts: Facts, next_look: NextLook | None) -> FailRow:
    return FailRow(
        rank=rank or "beside",
        head=_head(one, facts),
        speaks_for=_said("For it", one.speaks_for, room, facts),
        against=_said("Against it", one.speaks_against, room, facts),
        look=_look(one, room, facts, next_look),
        then=THEN[one.kind],
        mark="danger" if one.kind == "poisoned" else "",
    )


def _head(one: Failing, facts: Facts) -> str:
    names = [short_name(r.id, facts).split(":")[0] for r in one.causes]
    if one.kind == "another-cause" and names:
        return f"{HEADS[one.kind]}, perhaps {listed(names, 'or')}"
    if one.kind == "second" and names:
        return f"{HEADS[one.kind]}, perhaps {names[0]}"
    return HEADS[one.kind]


def _said(head: str, tells: tuple[Tell, ...], room: Room, facts: Facts) -> str:
    told = [tell_says(t, room, facts) for t in tells]
    return f"{head}: {'; '.join(told)}." if told else ""


def _look(one: Failing, room: Room, facts: Facts, next_look: NextLook | None) -> str:
    if one.look.kind == "look-there":
        name = _tank(str(one.look.values["tank"]), room)
        return f"Look at {name} for the same signs."
    if one.kind == "another-cause" and next_look is not None:
        return f"Next look: {look_head(next_look, facts)}. {LOOKS['vet-dead']}"
    return LOOKS[one.look.kind]


def _tank(tank: str, room: Room) -> str:
    return room.tanks[tank].name if tank in room.tanks else tank


def tell_says(tell: Tell, room: Room, facts: Facts) -> str:
    """What speaks for it or against it, without a stop."""
    v = tell.values
    match tell.kind:
        case "fits":
            name = short_name(str(v["cause"]), facts)
            return f"with the counts {name} is {tenths(float(v['chance']))} by all that is known"
        case "level":
            return _level(v, facts)
        case "over":
            most = level_shown(float(v["most"]), str(v["unit"]))
            now = level_range(float(v["low"]), float(v["high"]), str(v["unit"]))
            name = substance_name(str(v["substance"]), facts)
            return f"{name} stood over {most}, too much for {v['who']}; {now} is there now"
        case "missed":
            return f"{v['missed']:g} of {v['of']:g} steps are not ticked"
        case "all-given":
            return "every step that was due is ticked" if v["of"] else "no step was due yet"
        case "medium-in":
            return f"{MEDIA.get(str(v['medium']), str(v['medium']))} was in the filter while it ran"
        case "medium-out":
            return "none of the log's media is in the filter"
        case "met-ill":
            return f"{_tank(str(v['tank']), room)} is ill of it too, and {HOWS_PAST[str(v['how'])]} this one"
        case "met":
            return f"{_tank(str(v['tank']), room)} {HOWS_PAST[str(v['how'])]} this one since"
        case "ill-too":
            return f"{_tank(str(v['tank']), room)} is ill of it too"
        case "none-met":
            return "no net, water or animal is written down as shared since"
        case "newcomer":
            return "newcomers came since it began"
        case "stages-left":
            name = germ_name(str(v["organism"]), "", facts)
            return f"off the fish what is given leaves {name} alone, or nobody knows that it does not"
        case "given-before":
            return f"it was given {_times(float(v['times']))} here within six months"
        case "seen-to-withstand":
            share = round(100 * float(v["share"]))
            return f"nothing happens in about {share} of 100 cases, as it is reckoned"
        case "first-time":
            return "it is the first time here within six months"
        case "new-sign":
            return f"{sign_words(str(v['sign']), facts)} is seen"
    return upper(tell.kind.replace("-", " "))


def _times(n: float) -> str:
    return "once before" if n == 1 else f"{n:g} times before"


def _level(v: Mapping[str, str | float], facts: Facts) -> str:
    unit = str(v["unit"])
    least = level_shown(float(v["least"]), unit)
    now = level_range(float(v["low"]), float(v["high"]), unit)
    under = round(10 * float(v["under"]))
    name = substance_name(str(v["substance"]), facts)
    often = "at no time" if under == 0 else "all the time" if under == 10 else f"{under} tenths of the time"
    return f"{name} works from {least}; it was under that {often}, and {now} is there now"
