"""Acts at instants into a table of steps: each begins at an act, at a switch of the light, or on the grid."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import msgspec

from .events import Timed, in_order
from .standing import Rules, Standing, switches, turns


class Step(msgspec.Struct, frozen=True, gc=False):
    """A stretch in which nothing is done. `new`: something was set otherwise than in the step before."""

    minute: int
    hours: float
    standing: Standing
    lit: bool
    carbon: float
    new: bool
    asked: int = 0  # minute at which the water line is asked


class Table(msgspec.Struct, frozen=True):
    """Steps in order, and what happens before each; the last list is for the end."""

    steps: tuple[Step, ...]
    before: dict[int, tuple[Timed, ...]]  # number of the step -> what happens at its beginning
    end: int

    @property
    def edges(self) -> list[int]:
        """Minutes at which steps begin, and the end."""
        return [*(s.minute for s in self.steps), self.end]

    @property
    def breaks(self) -> list[int]:
        """Minutes at which something happens or is set otherwise: what goes on has a corner there."""
        edges = self.edges
        return sorted({edges[n] for n in self.before} | {s.minute for s in self.steps if s.new})

    def settling(self, lasting: int, apart: int) -> list[int]:
        """Edges of steps for so long after each break, not nearer than `apart` [min]: what moves then moves
        fast.
        """
        breaks, found = set(self.breaks), list[int]()
        broken = kept = -lasting
        for minute in self.edges:
            if minute in breaks:
                broken = kept = minute
            elif minute - broken <= lasting and minute - kept >= apart:
                found.append(minute)
                kept = minute
        return found


def table(
    timed: Sequence[Timed],
    usual: Standing,
    *,
    end: int,
    start_of_day: int,
    rules: Rules,
    every: Sequence[tuple[int, int]] = (),
    marks: Sequence[int] = (),
    levels: Sequence[int] = (),
) -> Table:
    """The steps between minute 0 and `end`.

    Parameters
    ----------
    timed : sequence of Timed
        Acts and events; those outside 0 to `end` are left out.
    usual : Standing
        How the tank is kept before the first act.
    end : int
        Minutes.
    start_of_day : int
        Minutes since midnight at minute 0, where the tank stands.
    every : sequence of (minute, step)
        From which minute on which longest step holds [min, a divisor of an hour]; nothing: only as many steps
        as the acts need.
    marks : sequence of int
        Further minutes at which a step has to end.
    levels : sequence of int
        Minutes from which another height of the water line is taken; the first is 0.
    """
    happening = in_order(t for t in timed if 0 <= t.minute <= end)
    stood = _stood(happening, usual)
    edges = {0, end, *(t.minute for t in happening), *(m for m in (*marks, *levels) if 0 <= m <= end)}
    for minute, until, standing in _spans(stood, end):
        edges.update(switches(standing, start_of_day, minute, until))
        edges.update(turns(standing, rules, minute, until))
    for (minute, step), (until, _) in pairwise((*every, (end, 0))):
        edges.update(_grid(start_of_day, step, minute, min(until, end)))
    ordered = sorted(edges)
    steps = _steps(ordered, stood, start_of_day, rules, [*levels, end])
    index = {minute: n for n, minute in enumerate(ordered)}
    before: dict[int, tuple[Timed, ...]] = {}
    for t in happening:
        before[index[t.minute]] = (*before.get(index[t.minute], ()), t)
    return Table(steps=steps, before=before, end=end)


def _grid(start_of_day: int, every: int, begin: int, end: int) -> range:
    """Every so many minutes by the clock."""
    return range(begin + -(start_of_day + begin) % every, end, every)


def _stood(happening: Sequence[Timed], usual: Standing) -> list[tuple[int, Standing]]:
    """From which minute on what stands."""
    stood = [(0, usual)]
    for t in happening:
        after = stood[-1][1].after(t.what, t.minute)
        if after is not stood[-1][1]:
            stood.append((t.minute, after))
    return stood


def _spans(stood: list[tuple[int, Standing]], end: int) -> list[tuple[int, int, Standing]]:
    ends = [*(minute for minute, _ in stood[1:]), end]
    return [(minute, until, standing) for (minute, standing), until in zip(stood, ends, strict=True)]


def _steps(
    edges: list[int],
    stood: list[tuple[int, Standing]],
    start_of_day: int,
    rules: Rules,
    levels: list[int],
) -> tuple[Step, ...]:
    steps: list[Step] = []
    at = level = 0
    for minute, until in pairwise(edges):
        while at + 1 < len(stood) and stood[at + 1][0] <= minute:
            at += 1
        while level + 2 < len(levels) and levels[level + 1] <= minute:
            level += 1
        asked = (levels[level] + levels[level + 1]) // 2 if len(levels) > 1 else 0
        standing = stood[at][1]
        # Asked in the middle: at its very ends a step belongs to its neighbours too.
        lit = standing.lit((minute + until) / 2 + start_of_day)
        carbon = standing.carbon(minute, rules)
        last = steps[-1] if steps else None
        set_now = (standing, lit, carbon, asked)
        new = last is None or (last.standing, last.lit, last.carbon, last.asked) != set_now
        steps.append(Step(minute, (until - minute) / 60.0, standing, lit, carbon, new, asked))
    return tuple(steps)
