"""A run on the compiled kernel: events as the oracle has them, the kernel through each stretch between."""

from __future__ import annotations

import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from functools import cache
from itertools import pairwise
from typing import Any

import numpy as np

from tankward.knowledge.loader import load
from tankward.quantities.parse import Estimate

from . import kernels
from .kernels import Dissolved, Kept, Stiff
from .layout import LANES, blocks, draws_of, empty, named, workspace
from .memo import Memo
from .oracle import Run, Trace, Water
from .prepare import prepare
from .processes.substances import FULL_EFFECT
from .rows import Array
from .setup import Setup
from .stretch import Stretch, stretch
from .table import Table

LEAST_DRAWS = 4 * LANES  # for fewer a further thread costs more than it takes over


class Compiled(Water):
    """The state of a run, advanced a stretch at a time, in blocks of draws over some threads."""

    def __init__(
        self, run: Run, fields: Sequence[str], copies: int, kernel: Any, threads: int, kept: Memo
    ) -> None:
        super().__init__(run)
        self.fields, self.kernel, self.memo = fields, kernel, kept
        names, drawn = kept.of("drawn", None, lambda: named(run.th, run.draws))
        self.water = kernels.Water(self.block, self.block.copy(), drawn)
        pace, stiff = list(run.body.pace_names), run.body.stiff
        self.stiff = Stiff(
            rows=np.array([row for row, _, _ in stiff]),
            rates=np.array([pace.index(name) for _, name, _ in stiff]),
            scarce=np.array([scarce for _, _, scarce in stiff]),
        )
        self.copies = Kept(
            fields=np.empty((run.draws // LANES, copies, len(fields), LANES)),
            amounts=np.empty((run.draws // LANES, copies, len(run.substances), LANES)),
            rows=np.array([run.body.state.index(name) for name in fields]),
        )
        self.temps = np.empty((copies, run.draws))
        self.seen = 0  # copies so far
        self.per_full = 1.0 / (FULL_EFFECT * run.sub.usual[:, 0])
        kind = workspace(run.body.state, run.body.pace_names, names, len(stiff))
        ends = [run.draws // LANES * n // threads * LANES for n in range(threads + 1)]
        self.shares = [(begin, end, empty(kind)) for begin, end in pairwise(ends)]

    def record(self, minute: int) -> None:
        """Keep a copy of everything."""
        self.copies.fields[:, self.seen] = blocks(self.block[self.copies.rows])
        self.copies.amounts[:, self.seen] = blocks(self.amounts)
        self.temps[self.seen] = self.temp_c
        self.seen += 1

    def happens(self, what: Any) -> None:
        """As the oracle's; the warmth stays the same array where it stays the same."""
        before = self.temp_c
        super().happens(what)
        if np.array_equal(before, self.temp_c):
            self.temp_c = before

    def through(self, table: Table, first: int, last: int, marks: Sequence[bool]) -> None:
        """The oracle's `advance`, for steps `first` to `last`; before the marked ones a copy is kept."""
        told = np.array(marks, dtype=bool)
        while first < last:
            copies = np.where(told, self.seen + np.cumsum(told) - 1, -1)
            part = stretch(self, table, first, last, copies, self.memo)
            self._run(part)
            kept = np.flatnonzero(told[: len(part)])
            from_steps, warmths = zip(*part.warmth[:-1], strict=True)
            at = np.searchsorted(from_steps, kept, side="right") - 1
            self.temps[self.seen : self.seen + kept.size] = np.array(warmths)[at]
            self.seen += kept.size
            self.temp_c = part.warmth[-1][1]
            first, told = first + len(part), told[len(part) :]

    def _run(self, part: Stretch) -> None:
        sub = self.run.sub
        dissolved = Dissolved(
            self.amounts, part.left, part.counts, part.inflow, sub.filter_left, sub.plants_left, self.per_full
        )
        told = part.steps, self.water, part.paces, dissolved, self.stiff, self.copies
        calls = [(begin, end, *told, work) for begin, end, work in self.shares]
        if len(calls) == 1:
            self.kernel(*calls[0])
        else:
            list(pool().map(lambda call: self.kernel(*call), calls))

    def trace(self, minutes: Sequence[int]) -> Trace:
        """What was kept."""
        return Trace(
            minutes=tuple(minutes),
            fields={name: draws_of(self.copies.fields[:, :, n]) for n, name in enumerate(self.fields)},
            amounts=draws_of(self.copies.amounts),
            temp_c=self.temps,
            lowest=dict(zip(self.run.body.state, self.water.least.min(axis=1).tolist(), strict=True)),
        )


def trace_compiled(
    run: Run,
    fields: Sequence[str] = (),
    *,
    kernel: Any = kernels.water,
    threads: int | None = None,
    kept: Memo | None = None,
) -> Trace:
    """Run the table from beginning to end, as `oracle.trace`.

    Parameters
    ----------
    run : Run
        What is to be run.
    fields : sequence of str
        Which to keep copies of; empty: all.
    kernel : compiled function, optional
        That of another list of processes.
    threads : int, optional
        Over how many to spread the draws; the numbers are the same. None: as many as there are cores.
    kept : Memo, optional
        What is known of this tank from runs before.
    """
    minutes, state = _through(run, fields, kernel, threads, kept)
    return state.trace(minutes)


def copied_compiled(
    run: Run, fields: Sequence[str], kept: Memo | None = None
) -> tuple[tuple[int, ...], Kept, Array]:
    """The same as the kernel leaves it: minutes, copies in blocks of lanes, warmth; over one thread."""
    minutes, state = _through(run, fields, kernels.water, 1, kept)
    return tuple(minutes), state.copies, state.temps


def _through(
    run: Run, fields: Sequence[str], kernel: Any, threads: int | None, kept: Memo | None
) -> tuple[list[int], Compiled]:
    """From beginning to end: minutes of the copies, and the state."""
    table, records = run.table, run.records
    edges, before, end = table.edges, table.before, len(table.edges) - 1
    minutes = [m for n, m in enumerate(edges) for _ in range(2 if n in before else m in records)]
    threads = threads or usual(run.draws)
    state = Compiled(run, fields or run.body.state, len(minutes), kernel, threads, kept or Memo())
    for first, last in pairwise(sorted({0, *before, end})):
        _happen(state, first, edges[first])
        marks = [m in records for m in edges[first:last]]
        marks[0] = marks[0] and first not in before
        state.through(table, first, last, marks)
    _happen(state, end, edges[-1])
    if end not in before and edges[-1] in records:
        state.record(edges[-1])
    return minutes, state


def _happen(state: Compiled, step: int, minute: int) -> None:
    """What happens before a step, with a copy before and after."""
    happening = state.run.table.before.get(step, ())
    if happening:
        state.record(minute)
        for timed in happening:
            state.happens(timed.what)
        state.record(minute)


def usual(draws: int) -> int:
    """Threads: one for each core that this process may use, where there are draws enough."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return max(1, min(cores, draws // LEAST_DRAWS))


@cache
def pool() -> ThreadPoolExecutor:
    """The threads of this process."""
    return ThreadPoolExecutor(thread_name_prefix="draws")


def compile_now() -> None:
    """Have the kernel ready: for the types that every run brings, on a run of no consequence."""
    start = datetime(2000, 1, 1, tzinfo=UTC)
    run = prepare(Setup(volume_l=Estimate.exact(10)), (), (), load(), start=start, hours=1, draws=64)
    trace_compiled(run)
