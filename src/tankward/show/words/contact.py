"""Who may have been reached by what is in a tank: by which way, how likely, until when it is watched."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.rounds.episode import Episode
from tankward.rounds.hold import Hold
from tankward.rounds.reached import Contact, Gone, Likely, Origin, Reach
from tankward.rounds.ways import Link

from .acts import listed, upper
from .after import date_said, hold_says, signs_said
from .causes import short_name
from .chance import chance_words
from .days import day_said
from .status import status_words

MOST_CAUSES = 3
JUDGED = "How likely is judged, never measured: it says how likely this carried it, if it was in there then."
HANDS = "Hands and drips"
HANDS_SAY = "Looked at within an hour after it, in one round: washed hands and a dry net carry nothing."
NOT_CLEAN = "A look that found nothing does not say that a tank was not reached."
NO_MOVE = "Until then nothing goes out of them into another tank: no fish, plant, net or water."
UNSEEN = (
    "Nothing was seen in {name} lately. This is whom it met in the last {days}: "
    "what it would have carried, if something is in there unseen."
)
NOBODY = "Nothing is written down that left {name} in this time: no move, net, hose or shared water."
WRITE = "What was not written down is not here: one net in two tanks is written with clean, in both."
ALONE = "No other tank"
AWAY = {"sold": "sold", "given": "given away", "wound-down": "moved to a tank that was wound down since"}


class Found(Protocol):
    """What may be in a tank, and whom it may have met."""

    @property
    def tank(self) -> str: ...
    @property
    def episode(self) -> Episode: ...
    @property
    def reach(self) -> Reach: ...
    @property
    def hold(self) -> Hold | None: ...


class ContactRow(msgspec.Struct, frozen=True, kw_only=True):
    """One tank: how likely, by what, what to do until when, what was seen there since."""

    tank: str
    name: str
    head: str
    low: float
    high: float
    how: str
    else_: str  # of the other causes that are open
    then: str
    seen: str


def finding(found: Found, room: Room) -> str:
    """Who may have it from whom, and what to do."""
    name = room.tanks[found.tank].name
    near = [c for c in found.reach.contacts if not c.by_hand]
    if not near:
        few = " but by hands and drips" if found.reach.contacts else ""
        return f"{ALONE} is known to have met {name}{few}."
    names = listed([room.tanks[c.tank].name for c in near])
    last = date_said(max(c.until for c in near))
    if found.episode.nothing:
        return f"{names} met {name}: what it may carry unseen shows by {last}."
    return f"{names} may have it from {name}: watch {'it' if len(near) == 1 else 'them'} until {last}."


def why(found: Found, room: Room, now: datetime, zone: str, facts: Facts) -> str:
    """Since when it is known, what it may be, from when it is counted."""
    name, seen = room.tanks[found.tank].name, found.episode
    if seen.nothing:
        days = (now - seen.since).days
        return UNSEEN.format(name=name, days=f"{days} days")
    causes = found.reach.causes
    names = listed([short_name(c, facts) for c in causes[:MOST_CAUSES]], "or")
    more = len(causes) - MOST_CAUSES
    what = f"It may be {names}{f', or one of {more} others' if more > 0 else ''}." if causes else ""
    told = "What it is, nobody knows." if not causes else what
    counted = f"It is counted as there since {day_said(seen.since, now, zone)}, a week before."
    if seen.first_seen is None:
        return f"It was treated, and no sign of it is written down. {told} {counted}"
    signs = signs_said(seen.signs, facts)
    return f"Known in {name} since {day_said(seen.first_seen, now, zone)}: {signs}. {told} {counted}"


def link_says(link: Link, room: Room, now: datetime, zone: str) -> str:
    """One link of a chain."""
    one, other = (_name(t, room) for t in (link.source, link.to))
    when = day_said(link.at, now, zone)
    who = room.stock[link.what].name if link.what in room.stock else "animals"
    tool = link.what.strip() or "one tool"
    return {
        "fish": f"{who} went from {one} to {other}, {when}",
        "plants": f"{who} went from {one} to {other}, {when}",
        "snails": f"{who} went from {one} to {other}, {when}",
        "water": f"{one} and {other} share their water",
        "net": f"a net in {one} and {other}, {when}" + (f" ({link.what})" if link.what.strip() else ""),
        "siphon": f"{tool} in {one} and {other}, {when}",
        "hands": f"{other} was looked at soon after {one}, {when}",
    }[link.way]


def _name(tank: str, room: Room) -> str:
    return room.tanks[tank].name if tank in room.tanks else tank


def contact_row(one: Contact, found: Found, room: Room, now: datetime, zone: str, facts: Facts) -> ContactRow:
    """One tank that may have been reached."""
    path = upper("; then ".join(link_says(k, room, now, zone) for k in one.path))
    again = f" {one.often} times in all." if one.often > 1 and not one.by_hand else ""
    look = signs_said(found.reach.signs, facts) if found.reach.signs else "any sign"
    then = f"Look for {look} until {date_said(one.until)}."
    if one.last_look is not None:
        then += f" Looked for and not there {day_said(one.last_look, now, zone)}."
    return ContactRow(
        tank=one.tank, name=room.tanks[one.tank].name, head=upper(likely_says(one.first, facts)),
        low=one.first.chance.low, high=one.first.chance.high, how=f"{path}.{again}",
        else_=else_says(one, facts), then=then,
        seen=f"Seen there since: {signs_said(one.seen, facts)}." if one.seen else "",
    )  # fmt: skip


def likely_says(one: Likely, facts: Facts) -> str:
    """How likely, and what it would be."""
    word = chance_words(one.chance.low, one.chance.high, one.chance.value)
    return f"{word}, if it is {short_name(one.cause, facts)}" if one.cause else word


def else_says(one: Contact, facts: Facts) -> str:
    """The same of the causes that stand behind the first; what is alike is said together."""
    by_word: dict[str, list[str]] = {}
    for row in one.each[1:]:
        word = chance_words(row.chance.low, row.chance.high, row.chance.value)
        by_word.setdefault(word, []).append(short_name(row.cause, facts))
    told = [f"{listed(names, 'or')}: {word}" for word, names in by_word.items()]
    return f"If it is {'; '.join(told)}." if told else ""


def contact_says(row: ContactRow) -> str:
    """The same in one line."""
    return " ".join(t for t in (f"{row.name}: {row.head}. {row.how}", row.else_, row.then, row.seen) if t)


def gone_says(one: Gone, room: Room, now: datetime, zone: str) -> str:
    """Animals that left the room meanwhile: whoever has them is told."""
    who = room.stock[one.stock].name if one.stock in room.stock else "animals"
    many = f"{one.number:g} " if one.number is not None else ""
    return f"{many}{who} {AWAY[one.why]} {day_said(one.at, now, zone)}: whoever has them should be told."


def keys_of(found: Found) -> list[str]:
    """The sources of the ways that are known."""
    return list(dict.fromkeys(k for c in found.reach.contacts for e in c.each for k in e.sources))


CAME = "Where it may have come from"
CAME_SAY = "In the four weeks before: none of it is proved by that, and what hides longer may be older."


def came_says(one: Origin, found: Found, room: Room, now: datetime, zone: str) -> str:
    """One way by which it may have come in."""
    if not one.tank:
        group = room.stock.get(one.what)
        who = group.name if group else "animals"
        source = f" ({group.source})" if group and group.source else ""
        return f"{upper(who)}{source} came in, {day_said(one.at, now, zone)}."
    link = Link(source=one.tank, to=found.tank, at=one.at, way=one.way, what=one.what)
    return f"{upper(link_says(link, room, now, zone))}."


def judged_words(found: Found) -> str:
    """How sure all of it is."""
    keys = listed(keys_of(found))
    of = f" The ways are those of the organisms where they are known ({keys})." if keys else ""
    return f"{JUDGED} The words stand for what is {status_words('memory')}.{of}"


def hand_line(rows: Sequence[Contact], room: Room, now: datetime, zone: str, facts: Facts) -> str:
    """All that hands alone led to, in one line."""
    last = max(rows, key=lambda c: c.at)
    names = listed([room.tanks[c.tank].name for c in rows])
    words = likely_says(last.first, facts)
    return f"{names}: {words}. Last {day_said(last.at, now, zone)}."


def rules(found: Found) -> list[str]:
    """What holds for those it met; hands alone, or a tank in which nothing was seen, hold nobody back."""
    if not found.reach.contacts:
        return []
    near = any(not c.by_hand for c in found.reach.contacts)
    return [NOT_CLEAN, NO_MOVE] if near and not found.episode.nothing else [NOT_CLEAN]


def hold_lines(found: Found, room: Room, now: datetime, zone: str, facts: Facts) -> list[str]:
    """Why nothing leaves the tank itself."""
    return [hold_says(found.hold, room, now, zone, facts)] if found.hold else []
