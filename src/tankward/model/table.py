"""Acts at instants into a table of steps: each begins at an act, at a switch of the light, or on the grid."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from functools import cached_property
from itertools import pairwise

import msgspec
import numpy as np

from .events import Timed, in_order
from .rows import Array
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


class Span(msgspec.Struct, frozen=True, gc=False):
    """Steps `first` to `last` (not of them), in which nothing is set otherwise."""

    first: int
    last: int
    standing: Standing
    lit: bool
    carbon: float
    new: bool
    asked: int = 0

    def step(self, minute: int, hours: float, *, opens: bool = True) -> Step:
        """One of its steps; `opens`: its first."""
        return Step(minute, hours, self.standing, self.lit, self.carbon, self.new and opens, self.asked)

    def alone(self, minute: int, hours: float) -> Step:
        """A step of its own, before which nothing is known."""
        return Step(minute, hours, self.standing, self.lit, self.carbon, True, self.asked)


class Table(msgspec.Struct, frozen=True, dict=True):
    """Steps in order, and what happens before each; the last list is for the end."""

    spans: tuple[Span, ...]
    before: dict[int, tuple[Timed, ...]]  # number of the step -> what happens at its beginning
    edges: tuple[int, ...]  # minutes at which steps begin, and the end
    follows: bool = False  # it goes on from another: what was set is nothing new at its beginning

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """All of them, one by one."""
        return tuple(
            span.step(self.edges[n], (self.edges[n + 1] - self.edges[n]) / 60.0, opens=n == span.first)
            for span in self.spans
            for n in range(span.first, span.last)
        )

    @cached_property
    def hours(self) -> Array:
        """How long each step is."""
        return np.diff(np.array(self.edges)) / 60.0

    @cached_property
    def firsts(self) -> list[int]:
        """The first step of each span."""
        return [span.first for span in self.spans]

    def span_at(self, step: int) -> int:
        """Which span a step is of."""
        return bisect_right(self.firsts, step) - 1

    @property
    def end(self) -> int:
        """Its last minute."""
        return self.edges[-1]

    @cached_property
    def breaks(self) -> list[int]:
        """Minutes at which something happens or is set otherwise: what goes on has a corner there."""
        opens = [span.first for span in self.spans if span.new]
        return sorted({self.edges[n] for n in (*self.before, *opens[self.follows :])})

    def settling(self, lasting: int, apart: int) -> list[int]:
        """Edges of steps for so long after each break, not nearer than `apart` [min]: what moves then moves
        fast.
        """
        breaks, found = set(self.breaks), list[int]()
        broken = kept = -lasting - 1
        for minute in self.edges:
            if minute in breaks:
                broken = kept = minute
            elif minute - broken <= lasting and minute - kept >= apart:
                found.append(minute)
                kept = minute
        return found

    def spaced(self, apart: int) -> list[int]:
        """Edges of steps, not nearer than `apart` to the one before. [min]"""
        found, last = list[int](), -apart
        for minute in self.edges:
            if minute - last >= apart:
                found.append(minute)
                last = minute
        return found


def table(
    timed: Sequence[Timed],
    usual: Standing,
    *,
    end: int,
    start_of_day: int,
    rules: Rules,
    begin: int = 0,
    every: Sequence[tuple[int, int]] = (),
    marks: Sequence[int] = (),
    levels: Sequence[int] = (),
) -> Table:
    """The steps between minute `begin` and `end`.

    Parameters
    ----------
    timed : sequence of Timed
        Acts and events; those outside `begin` to `end` are left out.
    usual : Standing
        How the tank is kept before the first act.
    end, begin : int
        Minutes.
    start_of_day : int
        Minutes since midnight at minute 0, where the tank stands.
    every : sequence of (minute, step)
        From which minute on which longest step holds [min, a divisor of an hour]; nothing: only as many steps
        as the acts need.
    marks : sequence of int
        Further minutes at which a step has to end.
    levels : sequence of int
        Minutes from which another height of the water line is taken; the first is no later than `begin`.
    """
    happening = in_order(t for t in timed if begin <= t.minute <= end)
    stood = _stood(happening, usual, begin)
    turning = {*(minute for minute, _ in stood), *(m for m in levels if begin < m < end)}
    for minute, until, standing in _spans(stood, end):
        turning.update(switches(standing, start_of_day, minute, until))
        turning.update(turns(standing, rules, minute, until))
    edges = {begin, end, *turning, *(t.minute for t in happening), *(m for m in marks if begin <= m <= end)}
    for (minute, step), (until, _) in pairwise((*every, (end, 0))):
        if until > begin:
            edges.update(_grid(start_of_day, step, max(minute, begin), min(until, end)))
    ordered = sorted(edges)
    index = {minute: n for n, minute in enumerate(ordered)}
    spans: list[Span] = []
    for minute, until in pairwise(sorted({*turning, end})):
        told = _set(minute, stood, start_of_day + (minute + until) / 2, rules, [*levels, end])
        new = not spans or told != (spans[-1].standing, spans[-1].lit, spans[-1].carbon, spans[-1].asked)
        standing, lit, carbon, asked = told
        spans.append(Span(index[minute], index[until], standing, lit, carbon, new, asked))
    before: dict[int, tuple[Timed, ...]] = {}
    for t in happening:
        before[index[t.minute]] = (*before.get(index[t.minute], ()), t)
    return Table(spans=tuple(spans), before=before, edges=tuple(ordered), follows=begin > 0)


def _grid(start_of_day: int, every: int, begin: int, end: int) -> range:
    """Every so many minutes by the clock."""
    return range(begin + -(start_of_day + begin) % every, end, every)


def _stood(happening: Sequence[Timed], usual: Standing, begin: int) -> list[tuple[int, Standing]]:
    """From which minute on what stands."""
    stood = [(begin, usual)]
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
