"""A run on the compiled kernel: events, warmth and pace as the oracle has them, the kernel between them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any, TypeAlias

import msgspec
import numpy as np

from tankward.knowledge.loader import load
from tankward.quantities.parse import Estimate

from .integrate import pull
from .kernels import COEFFICIENTS, Dissolved, Fields, Kept, Pulls, water
from .layout import LANES, blocks, draws_of, named, record_type, records
from .oracle import Run, Trace, Water, gathered
from .prepare import prepare
from .processes.substances import FULL_EFFECT
from .rows import Array, Rows
from .setup import Setup
from .table import Step
from .warmth import after, target

KEPT_PACES = 8  # day and night of a few settings; more only while the water warms or cools
Halves: TypeAlias = "tuple[tuple[Array, Array], ...]"  # of a step: what is left, hours that an inflow counts
LIKE_INTEGRATE = ("left_half", "left", "q", "whole", "f1", "f2", "f3")  # in the order of kernels.py


class Stretch(msgspec.Struct, frozen=True):
    """Steps of one length in one environment, and the minutes at which a copy is wanted."""

    steps: tuple[Step, ...]
    marks: tuple[bool, ...]  # before each step; what is wanted at the end belongs to the next stretch

    @property
    def wanted(self) -> list[int]:
        """Minutes of the copies."""
        return [s.minute for s, mark in zip(self.steps, self.marks, strict=True) if mark]


class Compiled(Water):
    """The state of a run, advanced a stretch at a time."""

    def __init__(self, run: Run, kernel: Any = water) -> None:
        super().__init__(run)
        self.kernel, self.count = kernel, run.draws // LANES
        self.th = records(*named(run.th, run.draws))
        fields = record_type(run.body.state)
        self.asked, self.rates = np.zeros(1, fields), np.zeros(1, fields)
        self.flat = self.asked.view(np.float64), self.rates.view(np.float64)
        self.total = np.zeros(self.block.shape[0] * LANES)
        self.x = np.zeros(3, record_type(("filter", "plants")))
        self.pulled_rows = np.array([row for row, *_ in run.body.stiff], dtype=np.int64)
        self.scarce = np.array([scarce for *_, scarce in run.body.stiff])
        self.falling = np.zeros((self.count, self.pulled_rows.size, LANES))
        self.k = np.zeros((self.pulled_rows.size, 4, LANES))
        self.coefficients = np.zeros((self.pulled_rows.size, 1 + COEFFICIENTS, LANES))
        self.effects = blocks(run.sub.filter_left), blocks(run.sub.plants_left)
        self.full = FULL_EFFECT * run.sub.usual[:, 0]
        self.paces: dict[tuple[int, bool, int, int], tuple[Any, Rows, Any]] = {}

    def packed_pace(self, step: Step, temp_c: Array) -> tuple[Rows, Any]:
        """The pace, and the same as records; kept while settings come and go."""
        key = id(step.standing), step.lit, step.asked, id(temp_c)
        if key not in self.paces:
            if len(self.paces) >= KEPT_PACES:
                self.paces.clear()
            p = self.run.body.pace(self.environment(step, temp_c), self.run.th, self.run.draws)
            names = self.run.body.pace_names
            packed = records(names, np.array([getattr(p, name) for name in names]))
            self.paces[key] = ((step.standing, temp_c), p, packed)  # holding both keeps the key theirs
        return self.paces[key][1:]

    def through(self, stretch: Stretch) -> None:
        """The oracle's `advance`, for all steps of a stretch."""
        step = stretch.steps[0]
        h, th = step.hours, self.run.th
        t0 = tm = t1 = self.temp_c
        if not self.settled(step):
            left = self.left_at(step)
            tm, t1 = (after(t0, th, step.standing, hours, left) for hours in (h / 2, h))
        (_, r0), (pm, rm), (_, r1) = (self.packed_pace(step, t) for t in (t0, tm, t1))
        halves = self.losses(step, (t0, tm, t1)) if self.run.substances else ()
        kept = self.run_blocks(stretch, halves, (r0, rm, r1), self.pull_blocks(pm, h))
        for minute, (fields, amounts) in zip(stretch.wanted, kept, strict=True):
            self.kept.append((minute, fields, amounts, t0.copy()))
        self.temp_c = t1

    def settled(self, step: Step) -> bool:
        """Whether the water is as warm as it is going to be."""
        return np.array_equal(self.temp_c, target(self.run.th, step.standing))

    def pull_blocks(self, p: Rows, h: float) -> tuple[Array, Array]:
        """Rates of the rows that are pulled back, and what a usual step makes of them, in blocks."""
        rates = [(row, getattr(p, name)) for row, name, _ in self.run.body.stiff]
        key = (h, *(rate.tobytes() for _, rate in rates))
        if self.pulled_at != key:
            pulls = [pull(row, rate, h) for row, rate in rates]
            shape = len(pulls), len(LIKE_INTEGRATE), self.run.draws
            made = np.array([[getattr(one, name) for name in LIKE_INTEGRATE] for one in pulls]).reshape(shape)
            flat = blocks(made.reshape(-1, self.run.draws))
            rate = blocks(np.array([one.rate for one in pulls]).reshape(len(pulls), self.run.draws))
            self.pulled_at, self.pulls = key, (rate, flat.reshape(self.count, len(pulls), -1, LANES))
        return self.pulls

    pulled_at: tuple[Any, ...] = ()
    pulls: tuple[Array, Array]

    def run_blocks(
        self, stretch: Stretch, halves: Halves, paces: tuple[Any, ...], pulls: tuple[Array, Array]
    ) -> Iterator[tuple[Array, Array]]:
        """Every block of draws through the stretch; the copies on the way."""
        rows, wanted = self.block.shape[0], len(stretch.wanted)
        now, amounts = blocks(self.block), blocks(self.amounts)
        left, counts, inflow = self.fading(stretch.steps[0], halves)
        fields = np.empty((wanted, self.count, rows * LANES))
        kept = Kept(fields, np.empty((wanted, *amounts.shape)), self.lowest)
        marks, spared = np.array(stretch.marks), self.effects
        for b in range(self.count):
            self.kernel(
                b, stretch.steps[0].hours, marks,
                Fields(self.asked[0], self.rates[0], now[b].reshape(-1), *self.flat, self.total),
                self.x, tuple(p[b] for p in paces), self.th[b],
                Dissolved(
                    amounts[b], left[b], counts[b], inflow[b], spared[0][b], spared[1][b], self.full
                ),
                Pulls(
                    self.pulled_rows, pulls[0][b], self.scarce, pulls[1][b], self.falling[b], self.k,
                    self.coefficients,
                ),
                kept,
            )  # fmt: skip
        self.block[:] = draws_of(now)
        self.amounts = draws_of(amounts)
        copies = draws_of(fields.reshape(wanted, self.count, rows, LANES)), draws_of(kept.amounts)
        return zip(*copies, strict=True)

    def fading(self, step: Step, halves: Halves) -> tuple[Array, Array, Array]:
        """Blocks × halves × substances × lanes of what is left and of the hours that count; the inflow."""
        if not halves:
            none = np.ones((self.count, 2, 0, LANES))
            return none, none, none[:, 0]
        left, counts = (np.stack([blocks(half[n]) for half in halves], axis=1) for n in (0, 1))
        return left, counts, blocks(np.zeros_like(self.amounts) + self.inflow(step))


def trace_compiled(run: Run, kernel: Any = water) -> Trace:
    """Run the table from beginning to end, as `oracle.trace`."""
    state, waiting, marks = Compiled(run, kernel), list[Step](), list[bool]()

    def flush() -> None:
        if waiting:
            state.through(Stretch(tuple(waiting), tuple(marks)))
            waiting.clear()
            marks.clear()

    for n, minute in enumerate(run.table.edges):
        happening = run.table.before.get(n, ())
        step = run.table.steps[n] if n < len(run.table.steps) else None
        joins = waiting and step and not (happening or step.new) and step.hours == waiting[0].hours
        if not joins or not state.settled(waiting[0]):
            flush()
        if happening:
            state.record(minute)
            for timed in happening:
                state.happens(timed.what)
            state.record(minute)
        if step is None:
            if not happening and minute in run.records:
                state.record(minute)
            break
        waiting.append(step)
        marks.append(not happening and minute in run.records)
    return gathered(run, state)


def compile_now() -> None:
    """Have the kernel ready: for the types that every run brings, on a run of no consequence."""
    start = datetime(2000, 1, 1, tzinfo=UTC)
    run = prepare(Setup(volume_l=Estimate.exact(10)), (), (), load(), start=start, hours=1, draws=64)
    trace_compiled(run)
