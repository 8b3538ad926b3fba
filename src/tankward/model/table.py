"""Acts at instants into a table of steps: each begins at an act, at a switch of the light, or on the grid."""

from __future__ import annotations

from bisect import bisect_right
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
    edges: tuple[int, ...]  # minutes at which steps begin, and the end

    @property
    def end(self) -> int:
        """Its last minute."""
        return self.edges[-1]

    @property
    def breaks(self) -> list[int]:
        """Minutes at which something happens or is set otherwise: what goes on has a corner there."""
        return sorted({self.edges[n] for n in self.before} | {s.minute for s in self.steps if s.new})

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
    turning = {*(minute for minute, _ in stood), *(m for m in levels if m < end)}
    for minute, until, standing in _spans(stood, end):
        turning.update(switches(standing, start_of_day, minute, until))
        turning.update(turns(standing, rules, minute, until))
    edges = {0, end, *turning, *(t.minute for t in happening), *(m for m in marks if 0 <= m <= end)}
    for (minute, step), (until, _) in pairwise((*every, (end, 0))):
        edges.update(_grid(start_of_day, step, minute, min(until, end)))
    ordered = sorted(edges)
    index = {minute: n for n, minute in enumerate(ordered)}
    steps: list[Step] = []
    for begin, until in pairwise(sorted({*turning, end})):
        told = _set(begin, stood, start_of_day + (begin + until) / 2, rules, [*levels, end])
        steps += _alike(ordered[index[begin] : index[until] + 1], told, steps[-1] if steps else None)
    before: dict[int, tuple[Timed, ...]] = {}
    for t in happening:
        before[index[t.minute]] = (*before.get(index[t.minute], ()), t)
    return Table(steps=tuple(steps), before=before, edges=tuple(ordered))


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


def _set(
    minute: int, stood: list[tuple[int, Standing]], middle: float, rules: Rules, levels: list[int]
) -> tuple[Standing, bool, float, int]:
    """What stands from a minute on, whether it is lit in the middle of its stretch (at its very ends it
    belongs to its neighbours too), what carbon counts for, and when the water line is asked.
    """
    standing = stood[bisect_right(stood, minute, key=lambda one: one[0]) - 1][1]
    asked = 0
    if len(levels) > 1:
        level = min(bisect_right(levels, minute), len(levels) - 1)
        asked = (levels[level - 1] + levels[level]) // 2
    return standing, standing.lit(middle), standing.carbon(minute, rules), asked


def _alike(edges: list[int], told: tuple[Standing, bool, float, int], before: Step | None) -> list[Step]:
    """Steps of a stretch in which nothing is set otherwise."""
    standing, lit, carbon, asked = told
    new = before is None or (before.standing, before.lit, before.carbon, before.asked) != told
    return [
        Step(minute, (until - minute) / 60.0, standing, lit, carbon, new and n == 0, asked)
        for n, (minute, until) in enumerate(pairwise(edges))
    ]
