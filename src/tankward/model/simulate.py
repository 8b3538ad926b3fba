"""A setup and acts into a record: what happens in a body of water, with or without a room around it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.room.acts import AnyAct

from .draws import COUNTS
from .events import Event, Read, Timed
from .in_fish import in_fish
from .kits import CARBONATE
from .known import SubstanceRows
from .oracle import Run, Trace
from .prepare import prepare, substances_of
from .record import WATER, Record, recorded
from .run import CHARTED, traced
from .setup import Setup

__all__ = ["WATER", "Record", "simulate"]


class Simulated(msgspec.Struct, frozen=True, kw_only=True):
    """A run with all that it was made of: for whoever goes on from its end."""

    record: Record
    run: Run
    trace: Trace
    rows: tuple[SubstanceRows, ...]
    timed: tuple[Timed, ...]


def simulate(
    setup: Setup,
    acts: Sequence[tuple[datetime, AnyAct]],
    facts: Facts,
    *,
    start: datetime,
    hours: float,
    draws: int = 256,
    events: Sequence[tuple[datetime, Event]] = (),
    marks: Sequence[datetime] = (),
    step_min: int | None = None,
) -> Record:
    """Run a body of water forward.

    Parameters
    ----------
    setup : Setup
        The tank at `start`.
    acts : sequence of (instant, act)
        What is done; those outside the span are left out.
    facts : Facts
        Where every number comes from.
    start : datetime
        With its zone: the light goes by the clock there.
    hours : float
        How far.
    draws : int
        64, 128, 256, 512 or 1024.
    events : sequence of (instant, event)
        What is not an act: corpses, readings, changes of stock.
    marks : sequence of datetime
        Instants to record besides whole hours.
    step_min : int, optional
        Longest step in minutes; None: as short as the fastest process asks for.

    Returns
    -------
    Record
        Levels of every substance and of ammonia, nitrite, nitrate, oxygen, warmth; pH and alkalinity where
        both were read.
    """
    return simulated(
        setup, acts, facts, start=start, hours=hours, draws=draws, events=events, marks=marks,
        step_min=step_min,
    ).record  # fmt: skip


def simulated(
    setup: Setup,
    acts: Sequence[tuple[datetime, AnyAct]],
    facts: Facts,
    *,
    start: datetime,
    hours: float,
    draws: int = 256,
    events: Sequence[tuple[datetime, Event]] = (),
    marks: Sequence[datetime] = (),
    step_min: int | None = None,
    fields: Sequence[str] = CHARTED,
) -> Simulated:
    """As `simulate`, with the run; `fields`: of the state, which to keep; none: all of them."""
    if draws not in COUNTS:
        raise BadInput("draws", str(draws), f"is not kept. Write {', '.join(map(str, COUNTS))}.")
    fixed = setup.ph is None or setup.alkalinity is None
    happening = [(at, what) for at, what in (*acts, *events) if not (fixed and _of_carbonate(what))]
    timed = [Timed(minutes(at, start), what) for at, what in happening]
    rows = substances_of(setup, timed, facts)
    run = prepare(
        setup,
        timed,
        rows,
        facts,
        start=start,
        hours=hours,
        draws=draws,
        marks=[minutes(at, start) for at in marks],
        step_min=step_min,
    )
    found = traced(run, fields)
    fed = in_fish(run, found, timed, facts)
    record = msgspec.structs.replace(recorded(run, found, rows, start), in_fish=fed)
    return Simulated(record=record, run=run, trace=found, rows=rows, timed=tuple(timed))


def _of_carbonate(what: AnyAct | Event) -> bool:
    return isinstance(what, Read) and what.quantity in CARBONATE


def minutes(at: datetime, start: datetime) -> int:
    """Whole minutes since the start."""
    return round((at - start) / timedelta(minutes=1))
