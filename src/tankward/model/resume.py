"""A run stopped at a minute, and gone on from there: the past is run once, what may follow many times.

Minutes count from where the past began, so everything that was set, dosed or put in keeps its time. Going on
takes the very steps that one run through both would take.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from datetime import datetime
from types import SimpleNamespace

import msgspec
import numpy as np
from numpy.typing import NDArray

from tankward.knowledge.known import Facts

from .compose import Body
from .draws import COUNTS
from .events import Held, Read, Timed, in_order
from .known import SubstanceRows, rules, substance_rows
from .memo import Memo
from .oracle import Run
from .parameters import parameters
from .prepare import APART_MIN, SETTLED_MIN, largest, substances_in, usual_standing
from .processes.substances import substance_parameters
from .rows import Array, Rows
from .setup import Setup
from .simulate import Simulated
from .stepping import looks, steps_of
from .table import table
from .water_line import WaterLine, as_met, water_line


class Stopped(msgspec.Struct, frozen=True, kw_only=True):
    """A body of water at a minute, with all that it was made of; arrays are of so many draws."""

    start: datetime
    minute: int
    setup: Setup
    body: Body
    done: tuple[Timed, ...]  # acts and events up to then
    rows: tuple[SubstanceRows, ...]
    th: Rows
    fields: dict[str, Array]
    temp_c: Array
    amounts: Array  # substances × draws
    in_fish: dict[str, Array]
    draws: int
    kept: NDArray[np.intp] | None = None  # which of `of` draws of the table they are; None: the first
    of: int = 0


def stopped(found: Simulated, setup: Setup, draws: int, kept: NDArray[np.intp] | None = None) -> Stopped:
    """A run at its end: its first draws, or those that are kept."""
    run, trace = found.run, found.trace
    which = slice(draws) if kept is None else kept
    return Stopped(
        start=found.record.start,
        minute=run.table.end,
        setup=setup,
        body=run.body,
        done=tuple(t for t in found.timed if t.minute <= run.table.end),
        rows=found.rows,
        th=some(run.th, run.draws, which),
        fields={name: values[-1, which] for name, values in trace.fields.items()},
        temp_c=trace.temp_c[-1, which],
        amounts=trace.amounts[-1][:, which],
        in_fish={name: values[-1, which] for name, values in found.record.in_fish.items()},
        draws=draws,
        kept=kept,
        of=run.draws,
    )


def begun(
    run: Run, setup: Setup, start: datetime, draws: int, kept: NDArray[np.intp] | None = None
) -> Stopped:
    """The beginning of a run, in which nothing has happened yet."""
    which = slice(draws) if kept is None else kept
    none = np.zeros(run.draws)
    return Stopped(
        start=start,
        minute=0,
        setup=setup,
        body=run.body,
        done=(),
        rows=(),
        th=some(run.th, run.draws, which),
        fields={name: (run.start.get(name, none) + none)[which] for name in run.body.state},
        temp_c=(run.start_temp_c + none)[which],
        amounts=run.start_amounts[:, which],
        in_fish={},
        draws=draws,
        kept=kept,
        of=run.draws,
    )


def some(rows: Rows, of: int, which: slice | NDArray[np.intp]) -> Rows:
    """The numbers of some draws; what is no number of a draw stays."""
    return SimpleNamespace(**{
        # Row after row: the compiled form knows arrays by how they lie.
        name: np.array(values[..., which], order="C") if np.shape(values)[-1:] == (of,) else values
        for name, values in vars(rows).items()
    })  # fmt: skip


def first(at: Stopped, draws: int) -> Stopped:
    """The first of its draws."""
    which = slice(draws)
    return msgspec.structs.replace(
        at,
        th=some(at.th, at.draws, which),
        fields={name: values[which] for name, values in at.fields.items()},
        temp_c=at.temp_c[which],
        amounts=at.amounts[:, which],
        in_fish={name: values[which] for name, values in at.in_fish.items()},
        draws=draws,
        kept=None if at.kept is None else at.kept[which],
    )


class GoingOn(msgspec.Struct, frozen=True, kw_only=True):
    """What is to be run on, and what it was made of."""

    run: Run
    rows: tuple[SubstanceRows, ...]
    timed: tuple[Timed, ...]  # what was done and what is planned
    breaks: frozenset[int]  # minutes at which something happens or is set otherwise


class Onward:
    """A body of water from where it stopped, ready to go on in many ways; threads may share it."""

    def __init__(self, at: Stopped, facts: Facts) -> None:
        self.at, self.facts, self.kept = at, facts, Memo(at.draws)
        self.of = at.draws if at.kept is None else at.of
        self.day = at.start.hour * 60 + at.start.minute
        self.rules = rules(facts)
        self.all = parameters(at.setup, facts, COUNTS[-1])
        self.done = tuple(t for t in at.done if not isinstance(t.what, Read | Held))
        self.full = any(t.minute == at.minute for t in at.done)
        line = water_line(at.setup, self.done, at.th, at.draws)
        met = as_met(self.done, line, at.th)
        self.pending = [t for t in met if t.minute > at.minute]  # an end of a power cut
        self.stands = usual_standing(at.setup, facts)
        for t in in_order(t for t in met if t.minute <= at.minute):
            self.stands = self.stands.after(t.what, t.minute)
        self._rows: dict[str, SubstanceRows] = {r.id: r for r in at.rows}
        self._subs: dict[Hashable, Rows] = {}

    def run(self, planned: Sequence[Timed], *, end: int, coarse: bool = False) -> GoingOn:
        """Everything that a run from there to `end` reads.

        Parameters
        ----------
        planned : sequence of Timed
            What is going to happen, none of it before then. Of a minute at which something was done, it
            happens in the next.
        end : int
            Minute.
        coarse : bool
            Steps as long as the method is stable; recorded is each of them.
        """
        at, here = self.at, self.at.minute
        if self.full:
            planned = [Timed(here + 1, t.what) if t.minute == here else t for t in planned]
        acts = [*self.done, *planned]
        rows, sub, made = self._dissolved(acts)
        line, met = self._met(acts, planned)
        every = steps_of(at.setup, acts, rows, self.facts, end, th=self.all, coarse=coarse)
        looked = looks(at.setup, acts, rows, self.facts, coarse=coarse)
        recorded = {here, end, *(m for m in looked if here < m < end)}
        recorded |= set() if coarse else {*range(-self.day % 60, end, 60)}
        steps = table(
            met, self.stands, begin=here, end=end, start_of_day=self.day, rules=self.rules, every=every,
            marks=sorted(recorded), levels=line.asked(end, self.day) if line else [],
        )  # fmt: skip
        more = (*steps.breaks, *steps.settling(SETTLED_MIN, APART_MIN), *(steps.spaced(60) if coarse else ()))
        none = np.zeros((len(rows) - len(at.rows), at.draws))
        run = Run(
            body=at.body,
            th=at.th,
            substances=tuple(r.id for r in rows),
            sub=sub,
            table=steps,
            rules=self.rules,
            draws=at.draws,
            start=at.fields,
            start_temp_c=at.temp_c,
            start_amounts=np.concatenate([at.amounts, none]),
            line=line,
            met=at.setup.met,
            records=frozenset((*recorded, *more)),
            kept=at.kept,
            of=at.of,
            made=made,
            coarse=coarse,
        )
        return GoingOn(run=run, rows=rows, timed=tuple(acts), breaks=frozenset(steps.breaks))

    def _met(self, acts: Sequence[Timed], planned: Sequence[Timed]) -> tuple[WaterLine | None, list[Timed]]:
        """The water line, and what happens from there on as the water meets it."""
        at = self.at
        line = water_line(at.setup, acts, at.th, at.draws)
        if line is None:
            return None, [*self.pending, *as_met(planned, None, at.th)]
        found = as_met(acts, line, at.th)
        return line, [t for t in found if t.minute > at.minute or (t.minute == at.minute and not self.full)]

    def _dissolved(self, acts: Sequence[Timed]) -> tuple[tuple[SubstanceRows, ...], Rows, Hashable]:
        """Substances with their numbers, and by what these are known."""
        at = self.at
        ids = substances_in(at.setup, acts, self.facts)
        for one in ids:
            if one not in self._rows:
                self._rows[one] = substance_rows(self.facts, one)
        rows = tuple(self._rows[one] for one in ids)
        dosed = largest(acts, at.setup.volume_l.value)
        made = (ids, tuple(dosed.get(r.id) for r in rows if r.usual is None))
        sub = self._subs.get(made)
        if sub is None:
            every = substance_parameters(rows, self.of, filtered=at.setup.filter != "none", dosed=dosed)
            sub = some(every, self.of, slice(at.draws) if at.kept is None else at.kept)
            self._subs[made] = sub
        return rows, sub, made
