"""Water that was lost and is not filled up again: what is left, and how it comes back without a shock."""

from __future__ import annotations

from collections.abc import Iterator

from tankward.quantities.digits import shown
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer, Working, answer

from .choices import SHOCK_TEMP, Choice
from .finding import Finding

KIND = "little_water"
HANGS_DRY = Choice(
    value=0.5, unit="share", why="an inlet or a heater sits about half way down", status="memory"
)
NEARLY, MOST_TOLD = 1e-6, 4
LEAST_LEFT = 0.01  # of the full tank: with less a portion means nothing [our own choice]
MISSED = Choice(value=0.9, unit="share", why="a tenth is missing between two top-ups as well")


def little_water(full_l: Estimate | None, left: float) -> Iterator[Finding]:
    """A finding where a loss was not filled up.

    Parameters
    ----------
    full_l : Estimate or None
        What the full tank holds. [L]
    left : float
        Of the full tank. [share]
    """
    if left >= MISSED.value:
        return
    there = None if full_l is None else Estimate(*(left * x for x in (full_l.value, full_l.low, full_l.high)))
    full = "" if full_l is None else f" of {shown(full_l.value, 'L')}"
    yield Finding(
        kind=KIND,
        severity="danger" if left < HANGS_DRY.value else "caution",
        value=None if there is None else there.value,
        low=None if there is None else there.low,
        high=None if there is None else there.high,
        unit="" if there is None else "L",
        because=f"{100 * left:.0f} %{full} is there: what was lost was not filled up",
        blocks_medicine=left < HANGS_DRY.value,
        until="it is filled up" if left < HANGS_DRY.value else "",
        status="computed",
    )


def portions(left: float, share: float) -> tuple[float, ...]:
    """What goes in each time, of the full tank, if new water is at most `share` of what is there after it."""
    there, found = max(left, LEAST_LEFT), list[float]()
    while there < 1.0 - NEARLY:
        found.append(min(there * share / (1.0 - share), 1.0 - there))
        there += found[-1]
    return tuple(found)


def first_portion(full_l: Estimate | None, left: float, share: float) -> Answer | None:
    """Litres that go in first; None where the litres are not known. [L]

    Parameters
    ----------
    full_l : Estimate or None
        What the full tank holds. [L]
    left : float
        Of the full tank. [share]
    share : float
        New water that the fish bear at once, of what is there afterwards. [share]

    Notes
    -----
    there × share / (1 − share), at most what is missing.
    """
    if full_l is None:
        return None
    work = Working()
    work.step("there", "full × what is left", full_l.value * left, "L")
    work.step("new water at once", "of what is there afterwards", share, "share", status="common-practice")
    part = portions(left, share)[0]
    how = "there × new / (1 − new), at most what is missing"
    litres = work.step("first portion", how, full_l.value * part, "L")
    return answer(litres, "L", work, low=full_l.low * part, high=full_l.high * part, says="{shown}")


def filling(full_l: Estimate | None, left: float, share: float, every_h: float) -> str:
    """How it goes on after the first portion."""
    later = portions(left, share)[1:]
    warm = f"dechlorinated, within {SHOCK_TEMP.value:g} °C of the tank"
    if not later:
        return warm
    apart = "an hour apart or more" if every_h == 1.0 else f"{every_h:g} hours apart or more"
    if full_l is None or len(later) > MOST_TOLD:
        return f"{warm}; then again and again until it is full, {apart}"
    return f"{warm}; then {', then '.join(shown(full_l.value * part, 'L') for part in later)}, {apart}"
