"""How many additions, multiplications and divisions a step of the water takes: the bodies run on numbers
that count, and what the integrator adds is counted from its formulas.
"""

from __future__ import annotations

import time
from types import SimpleNamespace

import numpy as np
from numba import njit

from tankward.model.integrate import TERMS

PER_FIELD_AND_STEP = 4 * 2 + 3 * 2 + 2  # sums of stages, where to ask next, the arrival
PER_PULL_AND_STEP = 3 * 6 + 9
PER_SUBSTANCE_AND_STEP = 3 * 6 + 2 * 3
FLOPS_OF_EXP = 2 * TERMS


class Counting:
    """A number whose arithmetic is counted."""

    spent = 0

    def __init__(self, value):
        self.value = float(value)

    @classmethod
    def _of(cls, value, cost=1):
        cls.spent += cost
        return cls(value)

    def __neg__(self):
        return self._of(-self.value)

    def sqrt(self):
        return self._of(np.sqrt(self.value))

    def exp(self):
        return self._of(np.exp(self.value), FLOPS_OF_EXP)


def _plain(other):
    return other.value if isinstance(other, Counting) else float(other)


def _operation(name):
    def does(self, other):
        return self._of(getattr(self.value, name)(_plain(other)))

    return does


for operation in ("add", "radd", "sub", "rsub", "mul", "rmul", "truediv", "rtruediv", "pow"):
    setattr(Counting, f"__{operation}__", _operation(f"__{operation}__"))
for comparison in ("lt", "le", "gt", "ge"):

    def compared(self, other, name=f"__{comparison}__"):
        Counting.spent += 1
        return getattr(self.value, name)(_plain(other))

    setattr(Counting, f"__{comparison}__", compared)


def _counting(values):
    return np.array([Counting(values)], dtype=object)


def per_step(run):
    """Operations of one step of one draw."""
    names, th = run.body.state, run.th
    first = {name: np.ravel(value)[0] for name, value in vars(th).items() if np.ndim(value) == 1}
    told = SimpleNamespace(**{name: _counting(value) for name, value in first.items()})
    p = SimpleNamespace(**{name: _counting(0.5) for name in run.body.pace_names})
    y = SimpleNamespace(**{name: _counting(np.ravel(run.start.get(name, 1.0))[0]) for name in names})
    dy = SimpleNamespace(**{name: _counting(0.0) for name in names})
    x = SimpleNamespace(filter=_counting(1.0), plants=_counting(1.0))
    Counting.spent = 0
    for rates in run.body.rates_of:
        rates(y, x, p, told, dy, 0)
    of_rates = 4 * Counting.spent
    pulls, substances = len(run.body.stiff), len(run.substances)
    return (
        of_rates
        + PER_FIELD_AND_STEP * len(names)
        + PER_PULL_AND_STEP * pulls
        + PER_SUBSTANCE_AND_STEP * substances
    )


@njit(error_model="numpy")
def _multiply_and_add(block, turns):
    for _ in range(turns):
        for i in range(block.size):
            block[i] = block[i] * 0.999999 + 1e-9
            block[i] = block[i] * 0.999999 + 1e-9
            block[i] = block[i] * 0.999999 + 1e-9
            block[i] = block[i] * 0.999999 + 1e-9
            block[i] = block[i] * 0.999999 + 1e-9
            block[i] = block[i] * 0.999999 + 1e-9
            block[i] = block[i] * 0.999999 + 1e-9
            block[i] = block[i] * 0.999999 + 1e-9


def peak_per_second():
    """Multiplications and additions a second on one core, from the fastest memory, not fused into one: the
    kernels may not fuse either, so that all machines give the same digits.
    """
    block, turns = np.ones(64), 20_000
    _multiply_and_add(block, 1)
    best = np.inf
    for _ in range(5):
        began = time.process_time()
        _multiply_and_add(block, turns)
        best = min(best, time.process_time() - began)
    return turns * block.size * 16 / best
