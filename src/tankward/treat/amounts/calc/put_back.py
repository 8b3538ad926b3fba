"""What to put back after a water change: `redose`."""

from __future__ import annotations

import math
from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.digits import shown
from tankward.quantities.faults import BadInput
from tankward.quantities.working import Answer, Named, Working, answer

from ..dosing import product_named
from ..fading import share_left, tends_to
from ..put_back import after_change_mg_l, restoring_mg
from .asks import WATER, StrengthOrNot, Volume

SAME = 1.02  # nearer than a keeper can measure


@calculation("redose", unit="mg", formula="(level − before × (1 − change)) × volume", group=WATER)
def redose(
    level: Annotated[float, Ask("level", "how strong the water is to be again", above=0)],
    volume: Volume,
    change: Annotated[float, Ask("share", "share of the water that was changed", at_least=0, at_most=1)],
    left: Annotated[
        float | None,
        Ask("share", "share of the dose still there just before the change", at_least=0, at_most=1),
    ] = None,
    now: Annotated[float | None, Ask("level", "level measured just before the change", at_least=0)] = None,
    half_life: Annotated[float | None, Ask("time", "time in which half of it fades", above=0)] = None,
    since: Annotated[float | None, Ask("time", "time since the dose", at_least=0)] = None,
    strength: StrengthOrNot = None,
) -> Answer:
    """How much to put back after a water change."""
    work = Working("the new water mixes in fully and holds none of it")
    before = _before(work, level, left, now, half_life, since)
    unknown = before is None
    value = _missing(work, level, level if before is None else before, volume, change)
    also = [] if strength is None else [product_named("of the product", value, strength)]
    if unknown:
        also += _if_gone(work, level, volume, change, strength)
    _warn_of_climbing(work, level, change, 1.0 if before is None else min(1.0, before / level))
    return answer(
        value,
        "mg",
        work,
        also=tuple(also),
        says=_sentence(value, unknown),
        gone=also[-1].shown if unknown else "",
    )


def _before(
    work: Working,
    level: float,
    left: float | None,
    now: float | None,
    half_life: float | None,
    since: float | None,
) -> float | None:
    """Level just before the change, or None where nothing is known of it."""
    said = [
        name for name, given in (("left", left), ("now", now), ("half-life", half_life)) if given is not None
    ]
    if len(said) > 1:
        raise BadInput(
            said[1], "", f"says the same thing as {said[0]}. Give one of left, now, or half-life with since."
        )
    if (half_life is None) != (since is None):
        missing, other = ("half-life", "since") if half_life is None else ("since", "half-life")
        raise BadInput(missing, "", f"is missing: {other} alone does not tell what is left.")
    if now is not None:
        return work.step("before the change", "measured", now, "mg/L")
    if left is not None:
        return work.step("before the change", "level × left", level * left, "mg/L", inputs={"left": left})
    if half_life is not None and since is not None:
        kept = share_left(since, half_life)
        return work.step(
            "before the change",
            "level × ½^(since ÷ half-life)",
            level * kept,
            "mg/L",
            inputs={"since": since, "half-life": half_life},
        )
    return None


def _missing(work: Working, level: float, before: float, volume: float, change: float) -> float:
    work.step(
        "left after the change",
        "before × (1 − change)",
        after_change_mg_l(before, change),
        "mg/L",
        inputs={"before": before, "change": change},
    )
    return work.step(
        "missing",
        "(level − left) × volume, never less than 0",
        restoring_mg(level, before, volume, change),
        "mg",
        inputs={"volume": volume},
    )


def _if_gone(
    work: Working, level: float, volume: float, change: float, strength: StrengthOrNot
) -> list[Named]:
    """The other end: nothing of the dose is left."""
    gone = work.step(
        "missing if it has gone", "level × volume", restoring_mg(level, 0.0, volume, change), "mg"
    )
    work.caution(
        "How fast it fades in this tank is not known; a filter that has met it before fades it faster."
    )
    product = [] if strength is None else [product_named("of the product if it has gone", gone, strength)]
    return [*product, Named.of("if it has gone", gone, "mg")]


def _warn_of_climbing(work: Working, level: float, change: float, left: float) -> None:
    """A whole fresh dose after every change climbs: say how high."""
    top = tends_to(level, change, left)
    if top <= level * SAME:
        return
    where = f"towards {shown(top, 'mg/L')}" if math.isfinite(top) else "without end"
    condition = " if nothing fades" if left == 1.0 else ""
    work.caution(f"A whole fresh dose after every such change would climb {where}{condition}.")


def _sentence(value: float, unknown: bool) -> str:
    if unknown:
        return "Put back {shown} if it lasts; {gone} if it has gone."
    return (
        "Put back {shown} of the active ingredient."
        if value > 0
        else "Nothing to put back: the water is still strong enough."
    )
