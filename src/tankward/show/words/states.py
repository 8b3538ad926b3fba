"""Sentences about how the tanks stand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Protocol

from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.room.things import Stock
from tankward.room.time import local
from tankward.rounds.states import NET_WATCH

from .acts import listed, upper
from .room import count
from .signs import sign_words


class State(Protocol):
    """A tank's word and what it rests on."""

    @property
    def tank(self) -> str: ...
    @property
    def state(self) -> str: ...
    @property
    def why(self) -> str: ...
    @property
    def signs(self) -> tuple[str, ...]: ...
    @property
    def at(self) -> datetime | None: ...
    @property
    def course(self) -> str: ...
    @property
    def other(self) -> str: ...


MARKS = {"sick": "danger", "watch": "caution", "unknown": "unknown"}
WORDS = {
    "in-course": "in a course",
    "signs": "signs seen",
    "signs-few": "one shows signs",
    "odd": "looks odd",
    "shared-net": "shared a net",
    "after-course": "watched after its course",
    "met-ill": "met a tank that was ill",
    "well": "well",
    "not-looked-at": "not looked at",
    "nobody": "empty",
}


def mark_of(state: State) -> str:
    """The mark; fine is silent."""
    return MARKS.get(state.state, "")


def word_of(state: State) -> str:
    """One word of state, under the tank."""
    return WORDS[state.why]


def who_words(stock: Sequence[Stock]) -> str:
    """Who lives there, short: the first group, and whether there are more."""
    if not stock:
        return "nobody"
    first = stock[0]
    return f"{count(first.number)} {first.name}{' and more' if len(stock) > 1 else ''}"


def who_short(stock: Sequence[Stock]) -> str:
    """The same where room is short: how many, and the last word of what they are called."""
    if not stock:
        return "empty"
    if len(stock) > 1:
        return f"{sum(s.number.value for s in stock):.0f} animals"
    return f"{stock[0].number.value:.0f} {stock[0].name.split()[-1]}"


def day(at: datetime, now: datetime) -> str:
    """A day as people say it."""
    days = (now.date() - at.astimezone(now.tzinfo).date()).days
    return {0: "today", 1: "yesterday"}.get(days, f"{days} days ago")


def row_words(
    state: State, stock: Sequence[Stock], room: Room, facts: Facts, now: datetime, zone: str
) -> tuple[str, str, str]:
    """Head, what to do, and the line under it, of a tank that needs a look."""
    when = f" ({day(state.at, now)})" if state.at else ""
    signs = upper(listed([sign_words(s, facts) for s in state.signs[:SIGNS]])) or "Signs seen"
    other = room.tanks[state.other].name if state.other in room.tanks else "a tank that shows signs"
    head = {
        "signs": signs + when,
        "signs-few": f"{signs} on one{when}",
        "odd": f"Looked odd{when}",
        "in-course": f"In a course: {state.course}",
        "shared-net": f"Shared its net with {other}{when}",
        "after-course": f"Watched after {state.course}",
        "met-ill": f"Met {other}{when}",
        "not-looked-at": "Not looked at lately",
    }.get(state.why, upper(WORDS[state.why]))
    lives = listed([f"{count(s.number)} {s.name}" for s in stock])
    return head, _then(state, now, zone), lives


def _then(state: State, now: datetime, zone: str) -> str:
    """What the word of a tank asks for."""
    if state.why == "shared-net" and state.at is not None:
        until = local(state.at + NET_WATCH, zone)
        return f"Watch it until {until:%a} {until.day} {until:%b} (usual practice)."
    return {"odd": "Say what you see.", "not-looked-at": "Look tonight."}.get(state.why, "")


def heading(states: Iterable[State], room: Room, facts: Facts) -> str:
    """The room in one sentence: who shows what, then who is watched."""
    told: dict[str, list[State]] = {}
    for s in states:
        told.setdefault(s.why, []).append(s)
    shows = [*told.get("signs", []), *told.get("signs-few", [])]
    odd = _of(told.get("odd", []), room, "looks odd", "look odd")
    watched = [s for why in WATCHED for s in told.get(why, [])]
    parts = [p for p in (_shows(shows, room, facts), odd) if p]
    if parts:
        tail = f"; watch {_names(watched, room)}" if watched else ""
        return f"{', '.join(parts)}{tail}."
    parts = [
        _of(told.get("in-course", []), room, "is in a course", "are in a course"),
        _of(told.get("shared-net", []), room, "shared a net", "shared a net"),
        _of(told.get("after-course", []), room, "is watched after its course", "are watched after a course"),
        _of(told.get("met-ill", []), room, "met a tank that was ill", "met a tank that was ill"),
    ]
    said = ", ".join(p for p in parts if p)
    if said:
        return f"{said}."
    return (
        _unseen([_name(s, room) for s in told.get("not-looked-at", [])]) or f"Nothing stands out. {NOTHING}"
    )


NOTHING = "Nothing has to be done tonight."
WATCHED = ("in-course", "shared-net", "after-course", "met-ill")
NAMED = 3  # more names than that are counted
EACH = 2  # so many tanks are told each with its sign
SIGNS = 2  # named of a tank


def _shows(states: Sequence[State], room: Room, facts: Facts) -> str:
    """T7 shows thin bellies, T8 white spots; more tanks than that together."""
    if len(states) > EACH:
        return _of(states, room, "shows signs", "show signs")
    said = [(_name(s, room), sign_words(s.signs[0], facts) if s.signs else "signs") for s in states]
    return ", ".join(f"{n} {'shows ' if not i else ''}{sign}" for i, (n, sign) in enumerate(said))


def _of(states: Sequence[State], room: Room, one: str, many: str) -> str:
    return f"{_names(states, room)} {one if len(states) == 1 else many}" if states else ""


def _names(states: Sequence[State], room: Room) -> str:
    names = [_name(s, room) for s in states]
    return listed(names) if len(names) <= NAMED else f"{len(names)} tanks"


def _name(state: State, room: Room) -> str:
    return room.tanks[state.tank].name


def _unseen(names: list[str]) -> str:
    """Tanks that nobody has looked at lately: a look is what they need."""
    if not names:
        return ""
    who = listed(names) if len(names) <= NAMED else f"{len(names)} tanks"
    return f"{who} {'was' if len(names) == 1 else 'were'} not looked at lately. Look tonight."


def well_words(names: Sequence[tuple[str, bool]], oldest: datetime | None, now: datetime) -> str:
    """The well ones in one line, the empty ones named so; when the oldest look was."""
    told = listed([f"{name} (empty)" if empty else name for name, empty in names])
    when = f" The oldest look is from {day(oldest, now)}." if oldest is not None else ""
    return f"{told}.{when}" if told else ""


def place_words(tanks: int, looked: int) -> str:
    """12 tanks, 4 looked at today."""
    if not tanks:
        return "Your room"
    many = "1 tank" if tanks == 1 else f"{tanks} tanks"
    return f"{many}, {looked} looked at today" if looked else many
