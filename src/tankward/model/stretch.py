"""The steps between two events as arrays: what holds at their nodes, worked out once for all of a kind."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

import msgspec
import numpy as np
from numpy.typing import NDArray

from .kernels import Steps
from .oracle import Water
from .rows import Array, rows_of
from .table import Step
from .warmth import after, target

MOST = 96  # environments of one stretch, so that its paces stay few megabytes


class Stretch(msgspec.Struct, frozen=True):
    """Steps, and for each kind of environment and of losses its numbers."""

    steps: Steps
    paces: Array  # rows × environments × draws
    left: Array  # losses × halves × substances × draws
    counts: Array
    inflow: Array
    warmth: tuple[Array, ...]  # before each step and at the end

    def __len__(self) -> int:
        return len(self.warmth) - 1


class Numbered(list[Any]):
    """Things in the order in which they came, and the number of each by its key."""

    def __init__(self) -> None:
        super().__init__()
        self.numbers: dict[Any, int] = {}

    def number(self, key: Any, make: Any) -> int:
        """Of the thing with this key, made where there is none."""
        if key not in self.numbers:
            self.numbers[key] = len(self)
            self.append(make())
        return self.numbers[key]


class Gathering:
    """Steps that are being gathered, from the state before them."""

    def __init__(self, state: Water) -> None:
        self.state, self.warm, self.still = state, state.temp_c, False
        self.environments, self.losses = Numbered(), Numbered()
        self.hours, self.nodes, self.loss = list[float](), list[tuple[int, ...]](), list[int]()
        self.warmth = [state.temp_c]

    def add(self, step: Step) -> None:
        """One more."""
        if self.still and not step.new and step.hours == self.hours[-1]:
            self.nodes.append(self.nodes[-1])
            self.loss.append(self.loss[-1])
        else:
            temps = self._warmth(step)
            self.nodes.append(tuple(self._environment(step, t) for t in temps))
            key = id(step.standing), step.lit, step.carbon, step.hours, *map(id, temps)
            self.loss.append(self.losses.number(key, lambda: self._losses(step, temps)))
            self.warm = temps[2]
        self.hours.append(step.hours)
        self.warmth.append(self.warm)

    def _warmth(self, step: Step) -> tuple[Array, Array, Array]:
        """At the beginning, in the middle and at the end."""
        th, warm = self.state.run.th, self.warm
        self.still = np.array_equal(warm, target(th, step.standing))
        if self.still:
            return warm, warm, warm
        left = self.state.left_at(step)
        middle, end = (after(warm, th, step.standing, hours, left) for hours in (step.hours / 2, step.hours))
        return warm, middle, end

    def _environment(self, step: Step, temp_c: Array) -> int:
        key = id(step.standing), step.lit, step.asked, id(temp_c)
        return self.environments.number(key, lambda: self.state.environment(step, temp_c))

    def _losses(self, step: Step, temps: tuple[Array, Array, Array]) -> tuple[Array, Array, Array]:
        halves = np.array(self.state.losses(step, temps))  # halves × (left, counts) × substances × draws
        return halves[:, 0], halves[:, 1], np.zeros_like(self.state.amounts) + self.state.inflow(step)

    def _paces(self) -> Array:
        """Of all environments at once."""
        run, all_of = self.state.run, SimpleNamespace()
        for name in vars(self.environments[0]):
            told = np.array([getattr(e, name) for e in self.environments])
            setattr(all_of, name, told.reshape(len(told), -1))
        paces, p = rows_of(run.body.pace_names, len(self.environments), run.draws)
        run.body.pace_into(p, all_of, run.th)
        return paces

    def gathered(self, copies: NDArray[np.intp]) -> Stretch:
        """The stretch; `copies`: number of the copy to keep before each step, or -1."""
        left, counts, inflow = (np.array(part) for part in zip(*self.losses, strict=True))
        steps = Steps(np.array(self.hours), copies, np.array(self.nodes), np.array(self.loss))
        return Stretch(steps, self._paces(), left, counts, inflow, tuple(self.warmth))


def stretch(state: Water, steps: Sequence[Step], copies: NDArray[np.intp]) -> Stretch:
    """Of the first of these steps: all, unless too many environments are met on the way."""
    gathering = Gathering(state)
    for step in steps:
        if len(gathering.environments) >= MOST:
            break
        gathering.add(step)
    return gathering.gathered(copies[: len(gathering.hours)])
