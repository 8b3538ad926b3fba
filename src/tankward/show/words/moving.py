"""Sentences about moving: animals to another tank, a tank to another place."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.room.things import Stock
from tankward.rounds.hold import Hold

from .after import NOT_GONE, hold_says
from .room import count
from .states import State, word_of
from .status import status_words

WARMTH_RULE = "float"


class Thought(Protocol):
    """One thing to think of before animals are moved."""

    @property
    def kind(self) -> str: ...
    @property
    def tank(self) -> str: ...
    @property
    def state(self) -> State | None: ...
    @property
    def hold(self) -> Hold | None: ...
    @property
    def course(self) -> str: ...
    @property
    def differ_c(self) -> float: ...


def caution_words(one: Thought, room: Room, now: datetime, zone: str, facts: Facts) -> str:
    """What would happen, and how to avoid it."""
    name = room.tanks[one.tank].name
    if one.hold is not None:
        return f"{hold_says(one.hold, room, now, zone, facts)} {NOT_GONE}"
    if one.kind == "carries" and one.state is not None:
        why = {"not-looked-at": "was not looked at lately", "in-course": "is in a course"}.get(
            one.state.why, word_of(one.state)
        )
        so = f"{name} {why}" if one.state.why in ("not-looked-at", "in-course") else f"{name}: {why}"
        return (
            f"{so}. Nets, water and the animals themselves carry it on. "
            "Leave them, or use a net of their own and take no water over."
        )
    if one.kind == "course":
        return f"{name} has a course running ({one.course}): they get what is in the water too."
    if one.kind == "warmth":
        rule = next((r for r in facts.hygiene.acclimation if r.id == WARMTH_RULE), None)
        sure = f" ({status_words(rule.status)})" if rule else ""
        warmer = "warmer" if one.differ_c > 0 else "colder"
        return (
            f"{name} is {abs(one.differ_c):.0f} °C {warmer}. Let the bag or tub float until less than "
            f"2 °C are left{sure}."
        )
    return f"How warm {name} is isn't known. Measure both before they change water."


def before_words(cautions: Sequence[Thought], home: str, room: Room) -> str:
    """What stands over the cautions: who may give something to whom."""
    carry = [c.tank for c in cautions if c.kind in ("carries", "held")]
    if home in carry:
        return f"What {room.tanks[home].name} may have goes with them."
    if carry:
        return f"They may catch what {room.tanks[carry[0]].name} has."
    return "Before they move"


def group_words(stock: Stock) -> str:
    return f"{count(stock.number)} {stock.name}"


def button_words(number: str, stock: Stock, to: str) -> str:
    """What the button does."""
    return f"Move {number} {stock.name} to {to}" if number else f"Move all {stock.name} to {to}"
