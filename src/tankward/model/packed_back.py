"""Lines going back, as the kernel reads them: rows that are left alike share their numbers.

The rows of a stage age, die and are killed alike, so what a step makes of them is worked out once for all of
them: a class. What is left per row is its own level, the row it turns into, and what comes of litters,
births and further turns (`extra`).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from .clearance import LARGE, Pass, removed
from .memo import once
from .packed import blocked, settled, whole
from .rows import Array
from .timeline import Timeline


class Returning(NamedTuple):
    """Rows and lines, going back. Numbers of columns are rows of a setting."""

    rows: Any  # that live, and row 0, in which gathers what comes from outside
    kind: Any  # class of each
    to: Any  # row into which it turns, or itself
    plain: Any  # column of how fast
    extra: Any  # where what else comes to it is summed up; 0: nothing does
    classes: int
    extras: int
    base: int  # first of the columns of the classes
    hosted: Any  # classes
    reach_first: Any  # reach q is on classes first[q] to last[q] of `reached`
    reach_last: Any
    reached: Any
    reach: int  # first of their columns
    more_to: Any  # further turns
    more_into: Any
    more: Any
    turn_to: Any  # litters, and what fish let through less of
    turn_into: Any
    turn_litter: Any
    turn_blocked: Any
    turn: int
    give: int
    bear_to: Any
    bear_by: Any
    bear_into: Any
    bear_blocked: Any
    bear: int
    come_to: Any
    come_into: int
    come_blocked: Any
    come: int
    stiff: Any  # classes of one row, whose births are taken exactly too
    stiff_bear: Any  # births: which of the stiff classes each is of, −1: none


class Alike:
    """Columns, each kept once."""

    def __init__(self) -> None:
        self.columns: list[Array] = []
        self._of: dict[tuple[float, ...], list[int]] = {}

    def number(self, column: Array) -> int:
        """Of the column that holds the same."""
        key = (float(column.flat[0]), float(column.flat[-1]))
        for n in self._of.get(key, ()):
            if self.columns[n] is column or np.array_equal(self.columns[n], column):
                return n
        self._of.setdefault(key, []).append(len(self.columns))
        self.columns.append(column)
        return len(self.columns) - 1


def returning(told: Pass) -> tuple[Returning, Array]:
    """Lines, and their rates at the settings: blocks × settings × columns × lanes."""
    kept = told.course.kept if told.known else None
    return once(kept, "returning", told.known, lambda: _returning(told), LARGE)


def _returning(told: Pass) -> tuple[Returning, Array]:
    n, life, p = told.lines, told.course.life, told.linear
    base = p.die.copy()
    for k, row in enumerate(n.turn_from):
        base[row] += p.turn[k]
    base[0] = 0.0
    reaches = (*told.course.reach, *told.course.feed)
    hit = [frozenset(q for q, reach in enumerate(reaches) if row in reach.rows) for row in range(len(base))]
    hosted, stiff = {int(row) for row in life.table.hosted}, {int(row) for row in told.stiff}
    rows = [0, *(int(row) for row in np.flatnonzero(n.germ))]
    losses, classes = Alike(), dict[tuple[object, ...], int]()
    kinds, members = list[int](), list[int]()
    for row in rows:
        key = (losses.number(base[row]), hit[row], row in hosted, row if row in stiff else 0, row == 0)
        if key not in classes:
            classes[key] = len(classes)
            members.append(row)
        kinds.append(classes[key])
    extras: dict[int, int] = {0: 1}

    def into(row: int) -> int:
        return extras.setdefault(int(row), len(extras) + 1)

    less = life.blocked[n.turn_flow] & ~n.turn_sure
    litter = np.arange(len(n.turn_from)) < n.litters
    own = np.flatnonzero((litter | less) & n.germ[n.turn_from])
    turns, first, further = Alike(), dict[int, tuple[int, int]](), list[tuple[int, int, int]]()
    nothing = turns.number(np.zeros(p.die.shape[1:]))
    for turn in np.flatnonzero(~(litter | less) & n.germ[n.turn_to] & n.germ[n.turn_from]).tolist():
        row, to = int(n.turn_from[turn]), int(n.turn_to[turn])
        column = turns.number(p.turn[turn] * p.turn_give[turn])
        if row in first:
            further.append((to, into(row), column))
        else:
            first[row] = (to, column)
    at = np.cumsum([0, *(sum(q in hit[row] for row in members) for q in range(len(reaches)))])
    packed, (plain, turned, give, bear, come, reach) = settled([
        np.array([base[row] for row in members]), np.array(turns.columns), p.turn[own], p.turn_give[own],
        p.bear * p.bear_give, p.come * p.come_give, p.reach,
    ])  # fmt: skip
    is_stiff = [row for row in members if row in stiff]
    bears = [(int(here), int(by)) for here, by in zip(n.bear_from, n.bear_by, strict=True)]
    made = Returning(
        rows=whole(rows), kind=whole(kinds), to=whole([first.get(row, (row, 0))[0] for row in rows]),
        plain=whole([plain + first.get(row, (0, nothing))[1] for row in rows]),
        more_to=whole([to for to, _, _ in further]), more_into=whole([row for _, row, _ in further]),
        more=whole([plain + column for _, _, column in further]),
        turn_to=whole(n.turn_to[own]), turn_into=whole([into(row) for row in n.turn_from[own]]),
        turn_litter=np.array(litter[own]), turn_blocked=np.array(less[own]), turn=turned, give=give,
        bear_to=whole(n.bear_to), bear_by=whole(n.bear_by), bear_into=whole([into(h) for h, _ in bears]),
        bear_blocked=np.array(life.blocked[n.bear_flow]), bear=bear,
        come_to=whole(n.come_to), come_into=1, come_blocked=np.array(life.blocked[n.come_flow]), come=come,
        extra=whole([extras.get(row, 0) for row in rows]), extras=len(extras) + 1,
        classes=len(members), base=0, hosted=whole([c for c, row in enumerate(members) if row in hosted]),
        reach_first=whole(at[:-1]), reach_last=whole(at[1:]), reach=reach,
        reached=whole([c for q in range(len(reaches)) for c, row in enumerate(members) if q in hit[row]]),
        stiff=whole([members.index(row) for row in is_stiff]),
        stiff_bear=whole([is_stiff.index(h) if h in is_stiff and h == by else -1 for h, by in bears]),
    )  # fmt: skip
    return made, packed


def back_acts(told: Pass) -> tuple[Any, Array]:
    """Of each act which of those that differ it is, and what they leave."""
    which, found = removed(told)
    life = told.course.life
    return whole(which), blocked(np.array(found) if found else np.zeros((0, life.table.rows, life.draws)))


def repeats(line: Timeline, food: Any) -> Any:
    """Of each step whether it begins as the one before ended."""
    n = line.nodes
    told: Sequence[Any] = (
        line.before,
        line.after,
        n.between,
        n.here,
        n.there,
        n.share,
        food,
        line.infected_d,
    )
    same = np.ones(line.steps, dtype=bool)
    same[:1] = False
    for one in told:
        same[1:] &= one[1:, 0] == one[:-1, 2]
    return same
