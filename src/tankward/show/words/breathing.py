"""Gill beats in words: what was counted, beside what."""

from __future__ import annotations

from tankward.judge.breathing import COUNTS_IN_MINUTE, SIGN, Breathing
from tankward.knowledge.known import Facts

from .status import status_words

SAYS = {"fast": "That is fast.", "not fast": "That is not faster.", "slow": "That is slow.", "unknown": ""}
FIFTEEN = "If it was counted over 15 seconds, it is four times as many."


def usual_beats(facts: Facts) -> str:
    """What is usual, with its status; "" where nothing is known."""
    known = facts.signs[SIGN]
    if known.usual_per_min is None:
        return ""
    low, high = (x / COUNTS_IN_MINUTE for x in known.usual_per_min)
    warm = f" at {known.usual_at_c:g}\u00a0°C" if known.usual_at_c is not None else ""
    return f"Usual for a small fish at rest{warm}: {low:g} to {high:g} ({status_words(known.status)})."


def beats_words(beats: float | None, well: float | None) -> str:
    """Counts in one line of the log."""
    told = [f"{beats:.0f} gill beats a minute"] if beats else []
    told += [f"{well:.0f} in one that looks well"] if well else []
    return f"{', '.join(told)}." if told else ""


def breathing_words(told: Breathing, before: tuple[tuple[str, float], ...] = ()) -> str:
    """What the counts say; "" where nothing was counted. `before`: day in words and beats a minute."""
    if told.beats_per_min is None:
        return ""
    parts = [f"{told.beats_per_min:.0f} gill beats a minute"]
    if told.well_per_min is not None:
        parts.append(f"{told.well_per_min:.0f} in one that looks well")
    elif told.usual_per_min is not None:
        low, high = told.usual_per_min
        parts.append(f"usual is {low:g} to {high:g} in a small fish at rest ({status_words(told.status)})")
    parts += [f"{beats:.0f} {day}" for day, beats in before]
    missing = "Count one that looks well too: fish differ." if told.says == "unknown" else ""
    doubt = FIFTEEN if told.says == "slow" else ""
    return " ".join(x for x in (", ".join(parts) + ".", SAYS[told.says], doubt, missing) if x)
