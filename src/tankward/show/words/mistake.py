"""Sentences about slips: what can have happened, and what to do now. Never a scolding."""

from __future__ import annotations

SLIPS = {  # id of the slip: its row, and the words by which judge/slips.py knows it
    "too-much": ("Gave too much, or twice", "dosed twice"),
    "forgot-one": ("Forgot one", "forgot a dose"),
    "carbon-in": ("Carbon was in", "carbon left in"),
    "wrong-tank": ("Wrong tank", "wrong tank"),
    "untreated-tap": ("Tap water without dechlorinator", "tap water without dechlorinator"),
    "no-flow": ("Filter or power was off", "filter was off"),
    "something-else": ("Something else", "something else"),
}


def mistake_heading(name: str) -> str:
    """The first question."""
    return f"What happened in {name}?" if name else "What happened?"


def done_heading(slip: str, name: str) -> str:
    """What was said, and that the acts follow."""
    return f"{SLIPS[slip][0]}{f', {name}' if name else ''}. Do this now, in this order."
