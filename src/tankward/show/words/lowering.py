"""Safety rule 21 in words, beside every change that takes half of the water."""

from __future__ import annotations

from tankward.judge.lowering import HEATER_COOLS_MIN, lowers, times_as_fast

from .measured import SMALL

TIMES = {2: "twice", 3: "three times"}
THINS = {2: "half as strong", 3: "a third as strong"}


def lowering_says(share: float | None) -> str:
    """What to mind before the water goes down; "" where too little of it does."""
    if share is None or not lowers(share):
        return ""
    fast = round(times_as_fast(share))
    times = TIMES.get(fast, f"{SMALL[min(fast, 10)]} times")
    minutes = f"{HEATER_COOLS_MIN.value:g} minutes"
    return (
        f"Heater's plug out first: no water below it for {minutes}, on again once it is covered. The "
        "filter's inlet stays under water, or its plug is out too. Mark the line. Plugs out before hands go "
        f"in. Ammonia rises {times} as fast in what is left: fill up at once, which makes what is dissolved "
        f"{THINS.get(fast, 'much weaker')}. No filter wash and no deep siphon today."
    )


def lowering_short(share: float | None) -> str:
    """The same for paper, in one line."""
    if share is None or not lowers(share):
        return ""
    return f"Heater's plug out {HEATER_COOLS_MIN.value:g} minutes before; plugs out before hands go in."
