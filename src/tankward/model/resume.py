"""A run stopped at a minute, and gone on from there: the past is run once, what may follow many times.

Minutes count from where the past began, so everything that was set, dosed or put in keeps its time. Going on
takes the very steps that one run through both would take.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from types import SimpleNamespace

import msgspec
import numpy as np
from numpy.typing import NDArray

from tankward.knowledge.known import Facts

from .compose import Body
from .events import Held, Read, Timed
from .known import SubstanceRows, rules
from .oracle import Run
from .prepare import APART_MIN, SETTLED_MIN, largest, substances_of, usual_standing
from .processes.substances import substance_parameters
from .rows import Array, Rows
from .setup import Setup
from .simulate import Simulated
from .stepping import looks, steps_of
from .table import Table, table
from .water_line import as_met, water_line


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
        name: values[..., which] if np.shape(values)[-1:] == (of,) else values
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
    timed: tuple[Timed, ...]
    breaks: frozenset[int]  # minutes at which something happens or is set otherwise


def going_on(at: Stopped, planned: Sequence[Timed], facts: Facts, *, end: int) -> GoingOn:
    """Everything that a run from there to `end` reads.

    Parameters
    ----------
    at : Stopped
        Where it goes on from.
    planned : sequence of Timed
        What is going to happen, none of it before then. Of a minute at which something was done, it happens
        in the next.
    facts : Facts
        Where every number comes from.
    end : int
        Minute.
    """
    here, setup, of = at.minute, at.setup, at.of if at.kept is not None else at.draws
    full = any(t.minute == here for t in at.done)
    planned = [Timed(here + 1, t.what) if full and t.minute == here else t for t in planned]
    acts = [*(t for t in at.done if not isinstance(t.what, Read | Held)), *planned]
    rows = substances_of(setup, acts, facts)
    line = water_line(setup, acts, at.th, at.draws)
    met = as_met(acts, line, at.th)
    day = at.start.hour * 60 + at.start.minute
    every = steps_of(setup, acts, rows, facts, end)
    looked = looks(setup, acts, rows, facts)
    recorded = {here, end, *range(-day % 60, end, 60), *(m for m in looked if 0 < m < end)}
    whole = table(
        met, usual_standing(setup, facts), end=end, start_of_day=day, rules=rules(facts), every=every,
        marks=sorted(recorded), levels=line.asked(end, day) if line else [],
    )  # fmt: skip
    steps = _from(whole, here, full)
    sub = substance_parameters(
        rows, of, filtered=setup.filter != "none", dosed=largest(acts, setup.volume_l.value)
    )
    none = np.zeros((len(rows) - len(at.rows), at.draws))
    run = Run(
        body=at.body,
        th=at.th,
        substances=tuple(r.id for r in rows),
        sub=some(sub, of, slice(at.draws) if at.kept is None else at.kept),
        table=steps,
        rules=rules(facts),
        draws=at.draws,
        start=at.fields,
        start_temp_c=at.temp_c,
        start_amounts=np.concatenate([at.amounts, none]),
        line=line,
        met=setup.met,
        records=frozenset(
            m for m in (*recorded, *whole.breaks, *whole.settling(SETTLED_MIN, APART_MIN)) if m >= here
        ),
        kept=at.kept,
        of=of,
    )
    return GoingOn(run=run, rows=rows, timed=tuple(acts), breaks=frozenset(whole.breaks))


def _from(whole: Table, here: int, full: bool) -> Table:
    """The steps from a minute on; `full`: what happens then has happened."""
    n = whole.edges.index(here)
    steps = [*whole.steps[n:]]
    steps[0] = msgspec.structs.replace(steps[0], new=True)
    before = {k - n: what for k, what in whole.before.items() if k > n or (k == n and not full)}
    return Table(steps=tuple(steps), before=before, edges=whole.edges[n:])
