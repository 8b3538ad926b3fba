"""How fast a fish breathes: beside a tank mate that looks well, else beside what is usual."""

from __future__ import annotations

from typing import Literal

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.base import Status

from .choices import FASTER_BREATH, MISCOUNTED_BEATS

SIGN = "fast_gills"
COUNTED_S = 15.0  # how long the beats are counted
COUNTS_IN_MINUTE = 60.0 / COUNTED_S

Says = Literal["fast", "not fast", "slow", "unknown"]


class Breathing(msgspec.Struct, frozen=True, kw_only=True):
    """Beats of the gill covers, and what they come to."""

    says: Says
    beats_per_min: float | None = None  # of the one that breathes worst
    well_per_min: float | None = None  # of one that looks well
    usual_per_min: tuple[float, float] | None = None
    usual_at_c: float | None = None
    status: Status = "common-practice"  # of what is usual

    @property
    def sign(self) -> str:
        """What is said of the sign "breathing fast": seen, absent, or "" where the count does not tell."""
        return {"fast": "seen", "not fast": "absent"}.get(self.says, "")


def breathing(beats: float | None, well: float | None, facts: Facts) -> Breathing:
    """What counts of gill beats come to.

    Parameters
    ----------
    beats, well : float or None
        Beats a minute of the one that breathes worst, and of one that looks well. [1/min, over 0]
    facts : Facts
        Holds what is usual for a small fish at rest.

    Returns
    -------
    Breathing
        Fast: a quarter faster than the well one, by more than two counts may be out; without a well one:
        over what is usual. Under what is usual is slow, and says nothing of "breathing fast". Within it,
        without a well one, nothing is known: fish of one tank differ by as much.

    Notes
    -----
    A count over 15 s is out by a beat at either end, so 4 a minute; the difference of two counts by 8.
    """
    known = facts.signs[SIGN]
    told = Breathing(
        says="unknown", beats_per_min=beats, well_per_min=well,
        usual_per_min=known.usual_per_min, usual_at_c=known.usual_at_c, status=known.status,
    )  # fmt: skip
    return msgspec.structs.replace(told, says=_says(beats, well, known.usual_per_min))


def _says(beats: float | None, well: float | None, usual: tuple[float, float] | None) -> Says:
    if beats is None:
        return "unknown"
    if well is not None:
        faster = beats >= well * FASTER_BREATH.value and beats - well > MISCOUNTED_BEATS.value
        return "fast" if faster else "not fast"
    if usual is None or usual[0] <= beats <= usual[1]:
        return "unknown"
    return "fast" if beats > usual[1] else "slow"
