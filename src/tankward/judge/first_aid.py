"""Amounts of the next ten minutes: dechlorinator for the whole tank, litres to change, changes that
thin a dose.
"""

from __future__ import annotations

import math

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.digits import shown
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer, Working, answer

from .choices import DECHLORINATE_EXCESS, HALF_CHANGE, SMALL_CHANGE, Choice

PER_L = 10.0  # where the volume is not known, the amount for so many litres is given
MG_IN_G = 1000.0
SCALE_G = 0.1  # step of a small scale; half as much again is reckoned in already [common practice]


def dechlorinator(volume_l: Estimate | None, facts: Facts) -> Answer:
    """Thiosulfate pentahydrate for all the water of a tank, as if it were tap water at its worst. [g]

    Parameters
    ----------
    volume_l : Estimate or None
        Water of the tank; None: the amount for 10 L. [L]
    facts : Facts
        Chlorine of tap water, mg thiosulfate for each mg of it.

    Returns
    -------
    Answer
        Too much does no harm, too little does: half as much again is reckoned in.
    """
    tap = next(f for f in facts.water.fact if f.id == "cl.tap")
    rule = next(r for r in facts.substances["sodium_thiosulfate"].regimen if r.id == "pentahydrate_7")
    chlorine, per_mg = tap.high or 0.0, rule.high or 0.0
    volume = volume_l or Estimate.exact(PER_L)
    work = Working("as if all the water were tap water at its worst")
    work.step(
        "chlorine", "highest usual in tap water", chlorine, "mg/L", source=tap.source, status=tap.status
    )
    work.step(
        "thiosulfate",
        "pentahydrate for each mg of chlorine",
        per_mg,
        "ratio",
        source=rule.source,
        status=rule.status,
    )
    excess = DECHLORINATE_EXCESS.value
    work.step("more", DECHLORINATE_EXCESS.why, excess, "ratio", status=DECHLORINATE_EXCESS.status)
    each = chlorine * per_mg * excess / MG_IN_G
    grams = work.step("for the tank", "volume × chlorine × thiosulfate × more", each * volume.value, "g")
    work.step("volume", "water of the tank" if volume_l else "not known: for 10 L", volume.value, "L")
    told = "for the whole tank" if volume_l else "for every 10 L"
    low, high = each * volume.low, each * volume.high
    weighed = max(SCALE_G, round(grams / SCALE_G) * SCALE_G)
    work.step("weighed", f"to {SCALE_G:g} g, as it is weighed", weighed, "g")
    says = f"{{weighed}} of thiosulfate {told}"
    found = answer(grams, "g", work, low=low, high=high, says=says, weighed=shown(weighed, "g", SCALE_G))
    return msgspec.structs.replace(found, shown=shown(weighed, "g", SCALE_G))


def change_amount(volume_l: Estimate | None, share: Choice) -> Answer:
    """Litres to change; for 10 L where the volume is not known. [L]"""
    volume = volume_l or Estimate.exact(PER_L)
    work = Working()
    work.step("volume", "water of the tank" if volume_l else "not known: for 10 L", volume.value, "L")
    work.step("share", share.why, share.value, "share", status=share.status)
    litres = work.step("to change", "volume × share", volume.value * share.value, "L")
    told = "" if volume_l else " of every 10 L"
    return answer(
        litres,
        "L",
        work,
        low=volume.low * share.value,
        high=volume.high * share.value,
        says=f"{{shown}}{told}",
    )


class Dilution(msgspec.Struct, frozen=True, kw_only=True):
    """A row of water changes that thins an overdose, with the level after each."""

    changes: int
    share: float
    levels: tuple[float, ...]
    every_h: float
    unit: str = "mg/L"
    caution: str = "carbon is no promise: no rate is published"


def dilute_out(
    start: float, target: float, *, share: float = HALF_CHANGE.value, every_h: float = 1.0
) -> Dilution:
    """How many changes bring an overdose down.

    Parameters
    ----------
    start, target : float
        Level now and level wanted, in one unit.
    share : float
        Share of the water changed each time: half, or less where the tank may be old and acid. [-]
    every_h : float
        Time between two changes, in which the water is matched and warmed. [h]

    Returns
    -------
    Dilution
        Level after n changes = start × (1 - share)^n; at halves, start ÷ 2^n.
    """
    if start <= target:
        return Dilution(changes=0, share=share, levels=(), every_h=every_h)
    n = math.ceil(math.log(start / target) / -math.log(1.0 - share) - 1e-9)
    levels = tuple(start * (1.0 - share) ** k for k in range(1, n + 1))
    return Dilution(changes=n, share=share, levels=levels, every_h=every_h)


SALTS = frozenset({"sodium_chloride", "magnesium_sulfate"})


def shock_limit(substance: str, old: bool, facts: Facts) -> tuple[float, float]:
    """How much may be changed at once and how soon again, so that the change itself does no harm.

    Parameters
    ----------
    substance : str
        What is to be thinned.
    old : bool
        The tank may be old and acid.
    facts : Facts
        How fast salt may be lowered.

    Returns
    -------
    tuple
        Share of the water, and hours to the next change. Salt is lowered no faster than its own rule says.
    """
    if substance in SALTS:
        rule = next(r for r in facts.hygiene.change_limit if r.id == "salt_down")
        return (rule.high or 0.0) / 100.0, 24.0
    return (SMALL_CHANGE.value, 2.5) if old else (HALF_CHANGE.value, 1.0)
