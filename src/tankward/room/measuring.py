"""What the keeper found with scale, bucket and clock, with how far it may be out."""

from __future__ import annotations

import math

from tankward.quantities.parse import Estimate

STEP_UNKNOWN_G = 1.0  # a kitchen scale, where nobody said which [common practice, no source]
LEVEL_OFF = 0.15  # one level spoon against the next: hygiene, powder_rule spoon_error, 10 to 20 % [memory]
FISH_OFF = 0.5  # one fish against the next of its group, 5th to 95th centile [common practice, no source]
DRIPS_OFF = 0.03  # water that clings to a netful [common practice, no source]
MARK_OFF = 0.05  # mark of a bucket: kits, bucket, 0.95 to 1.05 of what it says [memory]
CLOCK_MIN = 2 / 60  # start and stop by hand, a second each [common practice, no source]
LEFT_OFF = 0.02  # water that no siphon reaches, of the whole tank [common practice, no source]


def step_or_usual(step_g: float | None) -> float:
    """The step of the scale; of a kitchen scale where it is not known. [g]"""
    return STEP_UNKNOWN_G if step_g is None else step_g


def _around(value: float, share: float) -> Estimate:
    share = min(share, 0.95)
    return Estimate(value, value * (1 - share), value * (1 + share))


def spoonful(mass_g: float, spoons: float, step_g: float | None) -> Estimate:
    """What one level spoon holds on average, 5th to 95th centile.

    Parameters
    ----------
    mass_g : float
        Of all spoons together. [g]
    spoons : float
        How many.
    step_g : float or None
        Step of the scale, zero and reading each out by half of it; None: a kitchen scale. [g]

    Returns
    -------
    Estimate
        [g]. The more spoons go on together, the less both errors count.
    """
    scale = step_or_usual(step_g) / mass_g
    return _around(mass_g / spoons, math.hypot(scale, LEVEL_OFF / math.sqrt(max(spoons, 1.0))))


def netful(mass_g: float, number: float, step_g: float | None, of: Estimate) -> Estimate:
    """What one of a group weighs on average, from some of them weighed together.

    Parameters
    ----------
    mass_g : float
        What the scale showed for all that went in. [g]
    number : float
        How many went in.
    step_g : float or None
        Step of the scale; None: a kitchen scale. [g]
    of : Estimate
        How many there are in the group: who was not weighed may be larger or smaller.

    Returns
    -------
    Estimate
        [g]
    """
    scale = step_or_usual(step_g) / mass_g
    unseen = max(1 - number / max(of.value, number), 0.0)
    others = FISH_OFF * math.sqrt(unseen / max(number, 1.0))
    one = _around(mass_g / number, math.hypot(scale, others))
    # Drips only ever add.
    return Estimate(one.value, one.low * (1 - DRIPS_OFF), one.high)


def flow(volume_l: float, minutes: float) -> Estimate:
    """What a hose gives: a bucket and the time until it was full. [L/min]"""
    return _around(volume_l / minutes, math.hypot(MARK_OFF, CLOCK_MIN / minutes))


def by_buckets(full: float, bucket_l: float, rest_l: float = 0.0) -> Estimate:
    """Water of a tank, emptied or filled by the bucket. [L]

    Parameters
    ----------
    full : float
        Buckets, halves too.
    bucket_l : float
        What one holds to the mark it is filled to. [L]
    rest_l : float
        What was left over for the last, measured apart. [L]
    """
    litres = full * bucket_l + rest_l
    return _around(litres, math.hypot(MARK_OFF, LEFT_OFF))
