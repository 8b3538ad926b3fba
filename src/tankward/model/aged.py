"""Worms that bear at an age, for those that are followed one by one.

The kernels let a worm bear at a constant rate: right for the mean, too kind for chance, as then half of all
single worms leave nothing. The facts hold when a worm first bears and how long it takes to the next time
(`first_birth`, `next_birth`). With these two as stages of several rows each, death stays as it is, and both
times are stretched by one factor, so that growth is still the one that is drawn (the equation of Euler and
Lotka). A population of stable ages then has the kernel's mean exactly.
"""

from __future__ import annotations

import msgspec
import numpy as np

from tankward.quantities.faults import BadInput

from .lives.tables import Around, Gathering, Pace, Value
from .organisms import Life
from .rows import Array

TURNS = 60  # halvings of the interval in which the root lies


class Aged(msgspec.Struct, frozen=True, kw_only=True):
    """A life whose worms have ages. `mothers`: where the one that bears goes on, by flow."""

    life: Life
    mothers: dict[int, int]
    rows: tuple[int, ...]  # of the worms, from just born on
    stable: Array  # rows × draws: share of each in a population of stable ages, at the warmth asked for


def has_ages(life: Life) -> bool:
    """Whether the facts say at which age it bears."""
    born = life.organism.births
    return born is not None and life.numbers.has("first_birth", born.from_)


def aged(life: Life, e: Around) -> Aged:
    """The same life with worms that bear at an age.

    Parameters
    ----------
    life : Life
        Of an organism that bears on the fish.
    e : Around
        Warmth at which the stable ages are worked out.

    Raises
    ------
    BadInput
        If the facts do not say at which age it bears.
    """
    born, n = life.organism.births, life.numbers
    if born is None or not has_ages(life):
        raise BadInput("organism", life.organism.id, "has no age at which it bears in the facts")
    stage = next(s for s in life.organism.stage if s.id == born.from_)
    each = stage.rows_high or stage.rows
    first, then = n.of("first_birth", stage.id), n.of("next_birth", stage.id)
    pace = pace_of_births(first, then, each)
    old = life.gathered
    worm = old.of_stage(stage.id)[0]
    bearing = next(f for f in old.flows if f.source == worm and f.gain == worm and not f.lose)
    g = Gathering(life.herd)
    g.rows, g.modifiers = list(old.rows), list(old.modifiers)
    more = [g.row(f"{stage.id} {k + 1}", stage.place, stage=stage.id) for k in range(1, 2 * each)]
    rows = (worm, *more)
    g.views = [
        [*seen, *((row, weigh) for at, weigh in seen if at == worm for row in more)] for seen in old.views
    ]
    g.die = {**old.die, **dict.fromkeys(more, old.die[worm])}
    g.flows = [f for f in old.flows if f is not bearing]
    g.flows += [msgspec.structs.replace(f, source=row) for f in g.flows if f.source == worm for row in more]
    mothers: dict[int, int] = {}
    for k, row in enumerate(rows):
        rate = _going_on(bearing.rate, each / (pace * (first if k < each else then)))
        if k in (each - 1, 2 * each - 1):  # it bears, and waits for the next time
            mothers[len(g.flows)] = rows[each]
            g.flows.append(msgspec.structs.replace(bearing, source=row, rate=rate, lose=True))
        else:
            g.flow(row, rows[k + 1], rate)
    table = g.table(burden=life.table.burden, grams=life.table.grams, harms=True)
    made = msgspec.structs.replace(
        life, gathered=g, table=table, blocked=np.array([f.blocked for f in g.flows])
    )
    return Aged(life=made, mothers=mothers, rows=rows, stable=_stable(pace, first, then, each))


def pace_of_births(first_d: Array, next_d: Array, rows: int) -> Array:
    """Growth and death together that bearing at these ages gives, by the equation of Euler and Lotka. [1/d]

    The root x of (1 + x·first/rows)^−rows + (1 + x·next/rows)^−rows = 1.
    """
    low, high = np.zeros_like(first_d), 20.0 / np.minimum(first_d, next_d)
    for _ in range(TURNS):
        x = (low + high) / 2.0
        more = (1.0 + x * first_d / rows) ** -rows + (1.0 + x * next_d / rows) ** -rows > 1.0
        low, high = np.where(more, x, low), np.where(more, high, x)
    return np.asarray((low + high) / 2.0)


def _going_on(births: Pace, factor: Array) -> Pace:
    """Times stretched so that growth and death together are those that were drawn. [1/d]"""

    def rate(e: Around) -> Value:
        return births(e) * factor

    return rate


def _stable(pace: Array, first: Array, then: Array, each: int) -> Array:
    """Share of each row where all ages grow alike, in the time in which growth and death are `pace`."""
    shares = []
    flow = np.ones_like(pace)  # into the row, over the births of all
    for k in range(2 * each):
        on = each / (first if k < each else then)
        if k == each:
            through = (each / (each + pace * then)) ** each
            flow = flow / (1.0 - through)
        shares.append(flow / (on + pace))
        flow = flow * on / (on + pace)
    told = np.array(shares)
    return np.asarray(told / told.sum(axis=0))
