"""Sentences about how the tanks stand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Protocol

from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.room.things import Stock

from .room import count


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


MARKS = {"sick": "danger", "watch": "caution", "unknown": "unknown"}
WORDS = {
    "in-course": "in a course",
    "signs": "signs seen",
    "signs-few": "one shows signs",
    "odd": "looks odd",
    "shared-net": "shared a net",
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
    """Who lives there, short: the first group, and how many more."""
    if not stock:
        return "nobody"
    first = stock[0]
    return f"{count(first.number)} {first.name}"


def day(at: datetime, now: datetime) -> str:
    """A day as people say it."""
    days = (now.date() - at.astimezone(now.tzinfo).date()).days
    return {0: "today", 1: "yesterday"}.get(days, f"{days} days ago")


def row_words(state: State, stock: Sequence[Stock], facts: Facts, now: datetime) -> tuple[str, str]:
    """Head and second line of a tank that needs a look."""
    signs = ", ".join(
        facts.signs[s].word[0].plain if facts.signs[s].word else facts.signs[s].plain
        for s in state.signs[:3]
        if s in facts.signs
    )
    when = f" ({day(state.at, now)})" if state.at else ""
    head = {
        "signs": signs or "signs seen",
        "signs-few": signs or "signs seen",
        "odd": "looks odd: say what you see",
        "in-course": f"in a course: {state.course}",
        "shared-net": "shared its net with a tank that shows signs",
        "not-looked-at": "not looked at lately",
    }.get(state.why, WORDS[state.why])
    return head[:1].upper() + head[1:] + (when if state.why != "not-looked-at" else ""), ", ".join(
        f"{count(s.number)} {s.name}" for s in stock
    )


def heading(states: Iterable[State], room: Room) -> str:
    """The room in one sentence."""
    told = {"sick": [], "watch": [], "unknown": []}  # type: dict[str, list[str]]
    for s in states:
        if s.state in told:
            told[s.state].append(room.tanks[s.tank].name)
    if not told["sick"] and not told["watch"]:
        return _unseen(told["unknown"]) or "Nothing stands out. Nothing has to be done tonight."
    parts = []
    if told["sick"]:
        parts.append(f"{_list(told['sick'])} {_verb(told['sick'], 'shows', 'show')} signs")
    if told["watch"]:
        parts.append(f"watch {_list(told['watch'])}")
    return (", ".join(parts) + ".").replace("watch", "Watch", 0 if told["sick"] else 1)


NAMED = 3  # more names than that are counted


def _unseen(names: list[str]) -> str:
    """Tanks that nobody has looked at lately: a look is what they need."""
    if not names:
        return ""
    who = _list(names) if len(names) <= NAMED else f"{len(names)} tanks"
    return f"{who} {_verb(names, 'was', 'were')} not looked at lately. Look tonight."


def _list(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _verb(names: list[str], one: str, many: str) -> str:
    return one if len(names) == 1 else many
