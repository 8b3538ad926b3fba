"""Rule 35: a germ found is not a cause proved. How many, and whether the fish is thin, decide what
follows.
"""

from __future__ import annotations

from typing import Literal

import msgspec

Grade = Literal["none", "slight", "moderate", "marked", "extreme"]

# Cells per low-power field: the lowest count of each grade (published-read, IAAAM93).
FIELD: tuple[tuple[float, Grade], ...] = (
    (30.0, "extreme"),
    (15.0, "marked"),
    (5.0, "moderate"),
    (1.0, "slight"),
)
FIELD_SOURCE = "IAAAM93"


class Germs(msgspec.Struct, frozen=True, kw_only=True):
    """A count under the lens and what to do about it."""

    grade: Grade
    per_field: float
    thin: bool | None
    then: Literal["treat", "count-again", "look-further"]
    again_d: float | None = None
    source: str = FIELD_SOURCE
    status: str = "published-read"


def grade_of(per_field: float) -> Grade:
    """Grade of a count of flagellates per low-power field."""
    return next((name for least, name in FIELD if per_field >= least), "none")


def judge_germs(per_field: float, thin: bool | None) -> Germs:
    """What a count of gut flagellates asks for.

    Parameters
    ----------
    per_field : float
        Cells per low-power field of a fresh squash or dropping.
    thin : bool or None
        Whether the fish is wasted; None: not known.

    Returns
    -------
    Germs
        Half of healthy angelfish carry flagellates: slight and well is counted again in a week; marked and
        thin is treated; all between is looked into further.

    Source: IAAAM93 (published-read) for the grades; the advice is common practice.
    """
    grade = grade_of(per_field)
    if grade in ("marked", "extreme") and thin:
        return Germs(grade=grade, per_field=per_field, thin=thin, then="treat")
    if grade in ("none", "slight") and thin is False:
        return Germs(grade=grade, per_field=per_field, thin=thin, then="count-again", again_d=7.0)
    return Germs(grade=grade, per_field=per_field, thin=thin, then="look-further")
