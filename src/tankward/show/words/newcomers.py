"""Newcomers apart: the looks by their days, what such fish carry, when they may join, what is never done."""

from __future__ import annotations

LOOK_AT = {"droppings": "the droppings", "vents": "the vents"}
LOOK_THEN = {
    "droppings": "Fresh ones, by eye and under the lens where there is one. Write down what you looked for "
    "and did not see (usual practice).",
    "vents": "A torch, resting fish, five minutes: red threads. Write down what you looked for and did not "
    "see (usual practice).",
}


def newcomer_look(what: str, name: str, day: int) -> str:
    """Look at the droppings of the newcomers in T11: day 10."""
    return f"Look at {LOOK_AT[what]} of the newcomers in {name}: day {day}."
