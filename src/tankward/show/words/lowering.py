"""Safety rule 21 in words, beside every change that takes half of the water."""

from __future__ import annotations

from tankward.judge.lowering import HEATER_COOLS_MIN, lowers, times_as_fast
from tankward.quantities.digits import share

from .measured import SMALL

TIMES = {2: "twice", 3: "three times"}
THINS = {2: "half as strong", 3: "a third as strong"}
SMALL_FROM, SMALL_TO = 0.15, 0.20  # the ends of the small change that is said as 15 to 20 %


def is_small(value: float) -> bool:
    """Whether a change is the small one of an old acid tank."""
    return abs(value - (SMALL_FROM + SMALL_TO) / 2) < 0.01


def share_words(value: float) -> str:
    """A part of the water that is changed."""
    return "half" if abs(value - 0.5) < 0.01 else "15 to 20 %" if is_small(value) else share(value)


def lowering_says(part: float | None) -> str:
    """What to mind before the water goes down; "" where too little of it does."""
    if part is None or not lowers(part):
        return ""
    fast = round(times_as_fast(part))
    times = TIMES.get(fast, f"{SMALL[min(fast, 10)]} times")
    minutes = f"{HEATER_COOLS_MIN.value:g} minutes"
    return (
        f"Heater's plug out first: no water below it for {minutes}, on again once it is covered. The "
        "filter's inlet stays under water, or its plug is out too. Mark the line. Plugs out before hands go "
        f"in. Ammonia rises {times} as fast in what is left: fill up at once, which makes what is dissolved "
        f"{THINS.get(fast, 'much weaker')}. No filter wash and no deep siphon today."
    )


def lowering_short(part: float | None) -> str:
    """The same for paper, in one line."""
    if part is None or not lowers(part):
        return ""
    return f"Heater's plug out {HEATER_COOLS_MIN.value:g} minutes before; plugs out before hands go in."
