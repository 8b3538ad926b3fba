"""The steps between two events as arrays: what holds at their nodes, worked out once for all of a kind.

What holds does not depend on what was done before, once the water has come to its warmth: whoever runs the
same tank many times (`resume.py`) keeps it (`memo.py`).
"""

from __future__ import annotations

from collections.abc import Hashable
from types import SimpleNamespace
from typing import Any

import msgspec
import numpy as np
from numpy.typing import NDArray

from .kernels import Steps
from .memo import Memo
from .oracle import Water
from .rows import Array, rows_of
from .standing import Standing
from .table import Span, Step, Table
from .warmth import after, target

MOST = 96  # environments of one stretch, so that its paces stay few megabytes


class Stretch(msgspec.Struct, frozen=True):
    """Steps, and for each kind of environment and of losses its numbers."""

    steps: Steps
    paces: Array  # rows × environments × draws
    left: Array  # losses × halves × substances × draws
    counts: Array
    inflow: Array
    warmth: list[tuple[int, Array]]  # from which step on, before it, in their order
    last: Array  # warmth at the end

    def __len__(self) -> int:
        return int(self.steps.hours.size)


class Numbered(list[Any]):
    """Things in the order in which they came, and the number of each by its key."""

    def __init__(self) -> None:
        super().__init__()
        self.numbers: dict[Hashable, int] = {}

    def number(self, key: Hashable, make: Any) -> int:
        """Of the thing with this key, made where there is none."""
        found = self.numbers.get(key)
        if found is None:
            found = self.numbers[key] = len(self)
            self.append(make())
        return found


class Gathering:
    """Steps that are being gathered, from the state before them."""

    def __init__(self, state: Water, kept: Memo) -> None:
        self.state, self.kept, self.warm = state, kept, state.temp_c
        self.environments, self.losses = Numbered(), Numbered()
        self.at: tuple[list[int], list[int], list[int]] = ([], [], [])  # environments at each node
        self.loss = list[int]()
        self.warmth = [(0, self.warm)]

    def add(self, span: Span, edges: tuple[int, ...], first: int, last: int) -> int:
        """Steps `first` to `last` of a span; up to which it came."""
        goal = self._target(span.standing)
        for n in range(first, last):
            if self.warm is goal or np.array_equal(self.warm, goal):
                self._still(span, edges, n, last, goal)
                return last
            if len(self.environments) >= MOST:
                return n
            self._moving(span.alone(edges[n], (edges[n + 1] - edges[n]) / 60.0))
        return last

    def _target(self, standing: Standing) -> Array:
        return self.kept.of("target", standing.heater_c, lambda: target(self.state.run.th, standing))

    def _still(self, span: Span, edges: tuple[int, ...], first: int, last: int, goal: Array) -> None:
        """Steps in water that keeps its warmth."""
        if self.warm is not goal:
            self.warm = goal
            self.warmth.append((len(self.loss), goal))
        s = span.standing
        held = s.heater_c
        key = (
            span.lit, s.more_air, s.off, s.stock, s.feed, s.food_g, held,
            None if self.state.run.line is None else span.asked,
        )  # fmt: skip
        temps = (goal, goal, goal)
        here = self.environments.number(key, lambda: (key, span.alone(0, 0.0), goal))
        for node in self.at:
            node += [here] * (last - first)
        kind = (span.lit, span.carbon, self.state.used(s), held, id(s) if s.medicated else 0)
        numbers, loss = self.losses.numbers, self.loss
        for n in range(first, last):
            lost = (edges[n + 1] - edges[n], kind)
            number = numbers.get(lost)
            if number is None:
                step = span.alone(0, lost[0] / 60.0)
                number = self.losses.number(
                    lost, lambda step=step, lost=lost: self._lost(step, temps, (lost[0], *kind[:-1]))
                )
            loss.append(number)

    def _moving(self, step: Step) -> None:
        """One step in water that warms or cools."""
        hours, run = step.hours, self.state.run
        left = self.state.left_at(step)
        half, end = (after(self.warm, run.th, step.standing, h, left) for h in (hours / 2, hours))
        temps = (self.warm, half, end)
        for node, temp_c in zip(self.at, temps, strict=True):
            key = id(step.standing), step.lit, step.asked, id(temp_c)
            node.append(self.environments.number(key, lambda t=temp_c: (None, step, t)))
        self.loss.append(self.losses.number(len(self.losses), lambda: self._lost(step, temps, None)))
        self.warm = temps[2]
        self.warmth.append((len(self.loss), self.warm))

    def _lost(
        self, step: Step, temps: tuple[Array, Array, Array], key: tuple[Hashable, ...] | None
    ) -> tuple[Array, Array, Array]:
        """What is left of each substance, and what comes in."""

        def lost() -> tuple[Array, Array]:
            halves = np.array(self.state.losses(step, temps))  # halves × (left, counts) × substances × draws
            return halves[:, 0], halves[:, 1]

        run = self.state.run
        found = lost() if key is None else self.kept.of("loss", (run.made, key), lost)
        return *found, np.zeros_like(self.state.amounts) + self.state.inflow(step)

    def _paces(self) -> Array:
        """Of all environments; those that are not kept are worked out at once."""
        run, kept = self.state.run, self.kept
        paces = np.empty((len(run.body.pace_names), len(self.environments), run.draws))
        new = []
        for n, (key, _, _) in enumerate(self.environments):
            known = None if key is None else kept.get("pace", key)
            if known is None:
                new.append(n)
            else:
                paces[:, n] = known
        if new:
            made = self._made([self.environments[n] for n in new])
            for k, n in enumerate(new):
                paces[:, n] = made[:, k]
                key = self.environments[n][0]
                if key is not None and run.line is None:
                    kept.keep("pace", key, made[:, k].copy())
        return paces

    def _made(self, environments: list[tuple[Any, Step, Array]]) -> Array:
        """Paces of environments, all at once."""
        run, all_of = self.state.run, SimpleNamespace()
        told = [self.state.environment(step, temp_c) for _, step, temp_c in environments]
        for name in vars(told[0]):
            each = np.array([getattr(e, name) for e in told])
            setattr(all_of, name, each.reshape(len(each), -1))
        paces, p = rows_of(run.body.pace_names, len(told), run.draws)
        run.body.pace_into(p, all_of, run.th)
        return paces

    def gathered(self, hours: Array, copies: NDArray[np.intp]) -> Stretch:
        """The stretch; `copies`: number of the copy to keep before each step, or -1."""
        left, counts, inflow = (np.array(part) for part in zip(*self.losses, strict=True))
        many = len(self.loss)
        nodes = np.array(self.at).T.copy()
        steps = Steps(hours[:many], copies[:many], nodes, np.array(self.loss))
        return Stretch(steps, self._paces(), left, counts, inflow, self.warmth, self.warm)


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
        if at < until:
            break
    return gathering.gathered(table.hours[first:at], copies)
