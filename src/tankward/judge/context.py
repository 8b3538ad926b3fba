"""How far what happened moves the odds of a cause: weight by age, factor to the power of the weight, all in
all no more than the cap.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec
import numpy as np

from .choices import CONTEXT_CAP
from .draws import DRAWS, Array, factor
from .evidence import Happened


class Row(msgspec.Struct, frozen=True, kw_only=True):
    """One row of a cause's context, with the defaults of the context filled in."""

    id: str
    low: float
    high: float
    of: tuple[str, ...] = ()
    none_of: tuple[str, ...] = ()
    window_d: tuple[float, float] | None = None
    fade_d: float | None = None
    above_c: float | None = None
    below_c: float | None = None
    min_g_l: float | None = None
    one_of: str = ""


class Moved(msgspec.Struct, frozen=True, kw_only=True):
    """A context that moved a cause: by what factor, low to high at the weight it has."""

    context: str
    of: tuple[str, ...]
    low: float
    high: float
    weight: float


def weight(row: Row, happened: Happened) -> float:
    """How much of a row's factor counts, 0 to 1.

    Notes
    -----
    1 inside the window and 0.5^((age - end)/fade) after it; 0 before the window. An event whose day is not
    known counts with weight 1. Thresholds hold or do not.
    """
    if not happened.true or not _fits(row, happened):
        return 0.0
    if row.window_d is None or happened.age_d is None:
        return 1.0
    start, end = row.window_d
    if happened.age_d < start:
        return 0.0
    if happened.age_d <= end:
        return 1.0
    return 0.5 ** ((happened.age_d - end) / row.fade_d) if row.fade_d else 0.0


def _fits(row: Row, happened: Happened) -> bool:
    if row.id != happened.context:
        return False
    if row.of and not set(row.of) & set(happened.of):
        return False
    if row.none_of and set(row.none_of) & set(happened.of):
        return False
    value = happened.value
    for limit, sense in ((row.above_c, 1), (row.below_c, -1), (row.min_g_l, 1)):
        if limit is not None and (value is None or sense * (value - limit) < 0):
            return False
    return True


def moved_by(rows: Sequence[Row], happened: Sequence[Happened]) -> list[tuple[Row, float]]:
    """Rows that count, each with its weight: of rows with one word in `one_of`, the strongest alone."""
    counting: dict[str, tuple[Row, float]] = {}
    for n, row in enumerate(rows):
        w = max((weight(row, h) for h in happened), default=0.0)
        key = row.one_of or f"row {n}"
        if w > 0.0 and _strength(row, w) > _strength(*counting.get(key, (row, 0.0))):
            counting[key] = (row, w)
    return list(counting.values())


def _strength(row: Row, w: float) -> float:
    return abs(float(np.log(row.low * row.high))) / 2.0 * w


def odds_factor(cause: str, counting: Sequence[tuple[Row, float]]) -> Array:
    """What the past does to the odds of a cause. [256 draws]

    Notes
    -----
    The product of factor^weight over the rows that count, held between 1/30 and 30: what happened may
    point at a cause but never settles it.
    """
    product = np.ones(DRAWS)
    for row, w in counting:
        product = product * factor(_column(cause, row), row.low, row.high) ** w
    return np.asarray(np.clip(product, 1.0 / CONTEXT_CAP.value, CONTEXT_CAP.value))


def _column(cause: str, row: Row) -> str:
    kinds = " ".join(row.of + row.none_of)
    return f"context {cause} {row.id} {kinds} {row.above_c} {row.below_c} {row.min_g_l} {row.window_d}"


def told(counting: Sequence[tuple[Row, float]]) -> tuple[Moved, ...]:
    """The same for the screen."""
    return tuple(Moved(context=r.id, of=r.of, low=r.low**w, high=r.high**w, weight=w) for r, w in counting)


def survey_rows(
    factors: Mapping[str, tuple[float, float]], groups: Sequence[str], rows: Sequence[Row]
) -> list[Row]:
    """Rows of a cause for hosts at hand: a factor from the surveys takes the place of the elicited host rows.

    Parameters
    ----------
    factors : mapping
        Host group to (low, high) on the odds, from the surveys, for this cause.
    groups : sequence of str
        Host groups at risk in this tank.
    rows : sequence of Row
        The cause's own context rows.

    Returns
    -------
    list of Row
        With several groups in the tank each carries its share of the factor, groups without a survey as 1.
    """
    have = [g for g in groups if g in factors]
    if not have:
        return list(rows)
    part = 1.0 / len(groups)
    low = float(np.prod([factors[g][0] ** part for g in have]))
    high = float(np.prod([factors[g][1] ** part for g in have]))
    return [r for r in rows if r.id != "host"] + [Row(id="host", low=low, high=high, of=tuple(have))]
