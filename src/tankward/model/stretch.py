"""The steps between two events as arrays: what holds at their nodes, worked out once for all of a kind.

Water that keeps its warmth has one environment for each way of keeping it; water that warms or cools has two
for each step, all of a span at once. What holds while it keeps its warmth does not depend on what was done
before: whoever runs the same tank many times (`resume.py`) keeps it (`memo.py`).
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from types import SimpleNamespace

import msgspec
import numpy as np
from numpy.typing import NDArray

from .kernels import Steps
from .memo import Memo
from .oracle import Water
from .rows import Array, rows_of
from .standing import Standing
from .table import Span, Step, Table
from .warmth import target

MOST, ROOM = 96, 24_576  # environments of one stretch, × draws: so its paces stay few megabytes
KEPT = 50_000  # spans of warmth that moves, × draws, that are kept: some tens of megabytes
ALIKE_C = 0.15  # coarsely, steps whose warmth goes on by less than this share one [our own choice]


class Stretch(msgspec.Struct, frozen=True):
    """Steps, and for each kind of environment and of losses its numbers."""

    steps: Steps
    paces: Array  # rows × environments × draws
    left: Array  # losses × halves × substances × draws
    counts: Array
    inflow: Array
    warmth: list[tuple[int, Array]]  # from which step on, before it, in their order; the last is for the end

    def __len__(self) -> int:
        return int(self.steps.hours.size)


class Environments(msgspec.Struct, frozen=True):
    """Some that differ in their warmth alone; `key`: by which a single one is known again."""

    step: Step
    temp_c: Array  # environments × draws
    key: Hashable = None


class Moved(msgspec.Struct, frozen=True):
    """Steps in which it warms or cools: environments and losses, and which of them each step has."""

    end: Array  # steps × draws
    nodes: Array  # environments × draws
    at: tuple[Sequence[int], Sequence[int], Sequence[int]]
    left: Array  # losses × halves × substances × draws
    counts: Array
    lost: Sequence[int]


class Gathering:
    """Steps that are being gathered, from the state before them."""

    def __init__(self, state: Water, kept: Memo) -> None:
        self.state, self.kept, self.warm = state, kept, state.temp_c
        self.environments, self.many = list[Environments](), 0
        self.losses, self.lost = list[tuple[Array, Array, Array]](), 0
        self.at: tuple[list[int], list[int], list[int]] = ([], [], [])  # environments at each node
        self.loss = list[int]()
        self.warmth = [(0, self.warm)]
        self.numbers: dict[Hashable, int] = {}
        self.most = max(MOST, ROOM // state.run.draws)
        self.few = max(16, KEPT // state.run.draws)

    def add(self, span: Span, edges: tuple[int, ...], first: int, last: int) -> int:
        """Steps `first` to `last` of a span; up to which it came."""
        goal = self._target(span.standing)
        if first == span.first and span.new:
            self.state.phase = None
        if not (self.warm is goal or np.array_equal(self.warm, goal)):
            each = 1 if self.state.run.coarse else 2
            room = (self.most - self.many + each - 1) // each
            first = self._moving(span, edges, first, min(last, first + room), goal)
            if first < last and not np.array_equal(self.warm, goal):
                return first
        if first < last:
            self._still(span, edges, first, last, goal)
        return last

    def _target(self, standing: Standing) -> Array:
        return self.kept.of("target", standing.heater_c, lambda: target(self.state.run.th, standing))

    def _still(self, span: Span, edges: tuple[int, ...], first: int, last: int, goal: Array) -> None:
        """Steps in water that keeps its warmth."""
        if self.warm is not goal:
            self.warm = goal
            self.warmth.append((len(self.loss), goal))
        key, known = self._kind(span)
        here = self.numbers.get((key, span.asked))
        if here is None:
            here = self._more(Environments(span.alone(0, 0.0), goal[None], known))
            self.numbers[key, span.asked] = here
        for node in self.at:
            node += [here] * (last - first)
        s = span.standing
        kind = (span.lit, span.carbon, self.state.used(s), s.heater_c, id(s) if s.medicated else 0)
        numbers, loss = self.numbers, self.loss
        for n in range(first, last):
            lost = (edges[n + 1] - edges[n], kind)
            number = numbers.get(lost)
            if number is None:
                number = numbers[lost] = self._lost(span.alone(0, lost[0] / 60.0), goal, (lost[0], kind[:-1]))
            loss.append(number)

    def _kind(self, span: Span) -> tuple[Hashable, Hashable]:
        """By what an environment is known again but for its warmth: here, and elsewhere (None: not)."""
        s, line = span.standing, self.state.run.line
        key = (span.lit, s.more_air, s.off, s.stock, s.feed, s.food_g, s.heater_c, line is None)
        falling = 0.0 if line is None else line.falling(span.asked)
        return key, None if falling is None else (key, falling)

    def _moving(self, span: Span, edges: tuple[int, ...], first: int, last: int, goal: Array) -> int:
        """Steps in water that warms or cools, until it comes to its warmth; up to which it came."""
        state, step = self.state, span.alone(edges[first], 0.0)
        state.phase = state.phase or (edges[first], self.warm)
        minutes = np.array(edges[first : last + 1])
        known, key = self._kind(span)[1] if state.run.coarse else None, None
        if known is not None:
            since, begin = edges[first] - state.phase[0], state.phase[1].tobytes()
            key = known, since, begin, self.warm.tobytes(), np.diff(minutes).tobytes()

        def moved() -> Moved:
            return self._moved(step, minutes, goal)

        lost = state.run.made, span.carbon, state.used(span.standing)
        found = self.kept.of("moved", (lost, key), moved, self.few) if key else moved()
        here, count = self._more(Environments(step, found.nodes, key)), len(found.end)
        for node, at in zip(self.at, found.at, strict=True):
            node += [here + n for n in at]
        inflow = np.zeros_like(state.amounts) + state.inflow(step)
        many = np.broadcast_to(inflow, (len(found.left), *inflow.shape))
        self.losses.append((found.left, found.counts, many))
        self.loss += [self.lost + n for n in found.lost]
        self.lost += len(found.left)
        self.warmth += [(len(self.loss) - count + n + 1, found.end[n]) for n in range(count)]
        self.warm = found.end[-1]
        return first + count

    def _moved(self, step: Step, minutes: NDArray[np.int64], goal: Array) -> Moved:
        hours = np.diff(minutes) / 60.0
        middle, end = self.state.warming(step, self.warm, minutes[:-1], hours)
        there = (end == goal).all(axis=1)
        count = int(there.argmax()) + 1 if there.any() else len(hours)
        begin, middle, end = np.concatenate([self.warm[None], end[: count - 1]]), middle[:count], end[:count]
        each = self._alike if self.state.run.coarse else self._exactly
        return each(step, begin, middle, end, hours[:count])

    def _exactly(self, step: Step, begin: Array, middle: Array, end: Array, hours: Array) -> Moved:
        """Each step with its own warmth at its beginning, middle and end."""
        count = len(hours)
        nodes = np.empty((2 * count + 1, end.shape[1]))
        nodes[0], nodes[1::2], nodes[2::2] = self.warm, middle, end
        at = range(0, 2 * count, 2), range(1, 2 * count, 2), range(2, 2 * count + 1, 2)
        halves = self.state.losing(step, (begin, middle, end), hours[:, None, None])
        left, counts = (np.stack([one[n] for one in halves], 1) for n in range(2))
        return Moved(end, nodes, at, left, counts, range(count))

    def _alike(self, step: Step, begin: Array, middle: Array, end: Array, hours: Array) -> Moved:
        """Steps between which it hardly gets warmer share what holds in their middle."""
        moved = np.cumsum(np.abs(end - begin).max(axis=1))
        bins = np.concatenate([[0.0], moved[:-1]]) // ALIKE_C
        firsts = np.flatnonzero(np.diff(bins, prepend=-1.0))
        lasts = np.append(firsts[1:], len(hours)) - 1
        nodes = (begin[firsts] + end[lasts]) / 2.0
        group = np.repeat(np.arange(len(firsts)), lasts - firsts + 1)
        _, of, which = np.unique(group + hours / 24.0, return_index=True, return_inverse=True)
        half = self.state.lost_in(step, nodes[group[of]], hours[of, None, None] / 2.0)
        left, counts = (np.stack([part, part], 1) for part in half)
        at: list[int] = group.tolist()
        return Moved(end, nodes, (at, at, at), left, counts, which.tolist())

    def _more(self, some: Environments) -> int:
        """The number of the first of some environments more."""
        self.environments.append(some)
        self.many += len(some.temp_c)
        return self.many - len(some.temp_c)

    def _lost(self, step: Step, temp_c: Array, key: Hashable) -> int:
        """What is left of each substance in a step that keeps its warmth, and what comes in."""

        def lost() -> tuple[Array, Array]:
            halves = np.array(self.state.losses(step, (temp_c, temp_c, temp_c)))
            return halves[None, :, 0], halves[None, :, 1]  # 1 × halves × substances × draws

        left, counts = self.kept.of("loss", (self.state.run.made, key), lost)
        inflow = np.zeros_like(self.state.amounts) + self.state.inflow(step)
        self.losses.append((left, counts, inflow[None]))
        self.lost += 1
        return self.lost - 1

    def _paces(self) -> Array:
        """Of all environments; those that are not kept are worked out at once."""
        run, kept = self.state.run, self.kept
        paces = np.empty((len(run.body.pace_names), self.many, run.draws))
        new, n = list[tuple[int, Environments]](), 0
        for some in self.environments:
            known = None if some.key is None else kept.get("pace", some.key)
            if known is None:
                new.append((n, some))
            else:
                paces[:, n : n + len(some.temp_c)] = known
            n += len(some.temp_c)
        if new:
            made, k = self._made([some for _, some in new]), 0
            for n, some in new:
                size = len(some.temp_c)
                paces[:, n : n + size] = made[:, k : k + size]
                if some.key is not None:
                    kept.keep("pace", some.key, made[:, k : k + size].copy(), self.few)
                k += size
        return paces

    def _made(self, environments: list[Environments]) -> Array:
        """Paces of environments, all at once."""
        run, all_of = self.state.run, SimpleNamespace()
        told = [vars(self.state.environment(some.step, some.temp_c[0])) for some in environments]
        for name in told[0]:
            values = (np.reshape(e[name], (1, -1)) for e in told)
            sizes = (len(some.temp_c) for some in environments)
            each = [np.broadcast_to(v, (n, v.shape[1])) for v, n in zip(values, sizes, strict=True)]
            setattr(all_of, name, np.concatenate(each))
        all_of.temp_c = np.concatenate([some.temp_c for some in environments])
        paces, p = rows_of(run.body.pace_names, len(all_of.temp_c), run.draws)
        run.body.pace_into(p, all_of, run.th)
        return paces

    def gathered(self, hours: Array, copies: NDArray[np.intp]) -> Stretch:
        """The stretch; `copies`: number of the copy to keep before each step, or -1."""
        # One after another in memory: the compiled form knows arrays by how they lie.
        parts = (np.concatenate(part) for part in zip(*self.losses, strict=True))
        left, counts, inflow = (np.ascontiguousarray(part) for part in parts)
        many = len(self.loss)
        nodes = np.array(self.at).T.copy()
        steps = Steps(hours[:many], copies[:many], nodes, np.array(self.loss))
        return Stretch(steps, self._paces(), left, counts, inflow, [*self.warmth, (many, self.warm)])


def stretch(
    state: Water, table: Table, first: int, last: int, copies: NDArray[np.intp], kept: Memo
) -> Stretch:
    """Steps `first` to `last`, or the first of them: all, unless too many environments are met on the way."""
    gathering, edges = Gathering(state, kept), table.edges
    at = first
    while at < last:
        span = table.spans[table.span_at(at)]
        until = min(span.last, last)
        at = gathering.add(span, edges, at, until)
        if at < until or gathering.many >= gathering.most:
            break
    return gathering.gathered(table.hours[first:at], copies)
