"""One substance alone, from act to act: exact, and quick enough to try thousands of courses."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

import msgspec
import numpy as np

from tankward.knowledge.beliefs import estimated
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.acts import AnyAct, Change, Dose, Feed

from .bands import band
from .compose import compose
from .draws import uniform
from .events import Timed
from .known import SubstanceRows, rules, substance_rows
from .oracle import Run, trace
from .parameters import plain_parameters
from .prepare import usual_standing
from .processes.substances import substance_parameters
from .rows import Array
from .setup import Setup
from .simulate import minutes
from .table import table
from .water_line import as_met, water_line

ALONE = compose(())


class Point(msgspec.Struct, frozen=True):
    """The level just before and just after what was done at one instant."""

    at: datetime
    acts: tuple[str, ...]
    before: Estimate
    after: Estimate


class Levels(msgspec.Struct, frozen=True):
    """A course of one substance. `peak` and `trough` are over the draws' own highest and lowest."""

    substance: str
    unit: str
    points: tuple[Point, ...]
    peak: Estimate
    trough: Estimate  # lowest from the first dose on, just before an act or at the end
    end: Estimate
    generic: bool  # no loss of its own was found: wide figures stand in
    times: tuple[datetime, ...]
    draws: Array  # times × draws, before and after


def levels(
    substance: str,
    acts: Sequence[tuple[datetime, AnyAct]],
    *,
    facts: Facts,
    volume_l: Estimate,
    temp_c: Estimate | None = None,
    light_h: float | None = None,
    half_life_h: tuple[float, float] | None = None,
    start_level: Estimate | None = None,
    filter: str = "",
    met: bool = False,
    until: datetime | None = None,
    draws: int = 64,
) -> Levels:
    """Level of a substance before and after each act.

    Parameters
    ----------
    substance : str
        Id of a substance that dissolves; not a combination.
    acts : sequence of (instant, act)
        Doses, changes, carbon, light, heat; at least one dose of it, or a `start_level`.
    facts : Facts
        Half-lives and theta of the substance.
    volume_l : Estimate
        Water. [L]
    temp_c : Estimate, optional
        None: not known, 22 to 27. [°C]
    light_h : float, optional
        Hours of light a day; None: not known.
    half_life_h : pair, optional
        5th and 95th centile of the half-life all in all, in place of the facts. [h]
    start_level : Estimate, optional
        What is in the water at the first act. [mg/L; µL/L of formalin]
    filter : str
        "none": a bare tub.
    met : bool
        The filter met it within the last four weeks.
    until : datetime, optional
        End; None: the last act.
    draws : int
        64, 128, 256, 512 or 1024.

    Returns
    -------
    Levels
        With bands.
    """
    if not acts:
        raise BadInput("acts", "nothing", "leaves nothing to work out. Name at least one dose or change.")
    ran = _ran(
        substance, acts, facts, _Water(volume_l, temp_c, light_h, filter), until=until, draws=draws,
        half_life_h=half_life_h, start_level=start_level, met=met,
    )  # fmt: skip
    return _gathered(ran.row.unit, ran.row.generic, substance, ran.found, ran.recorded, ran.timed, ran.start)


def survival(
    substance: str,
    acts: Sequence[tuple[datetime, AnyAct]],
    *,
    facts: Facts,
    volume_l: Estimate,
    start: datetime,
    hours: int,
    level: float,
    temp_c: Estimate | None = None,
    light_h: float | None = None,
    filter: str = "",
    met: bool = False,
    draws: int = 64,
) -> Array:
    """Share of a dose that is left at each whole hour, nothing changed: any course follows from it.

    Between two acts at t and u the level falls by S(u) ÷ S(t), at an act by its share, or grows by a dose:
    exact, as each draw loses a share of what is there. From the second dose on the filter has met it: there
    the curve of `met` holds.

    Parameters
    ----------
    acts : sequence of (instant, act)
        What the water is given besides: carbon out, light, warmth; no doses, no changes.
    start : datetime
        Of the first dose.
    hours : int
        How far.
    level : float
        What a full dose makes; some substances are lost at rates that hang on it. [own unit]
    met : bool
        The filter met it within the last four weeks.

    Returns
    -------
    array
        (hours + 1) × draws, 1 at the beginning, never 0.
    """
    row_dose = (start, Dose(actives={substance: level * volume_l.value}))
    ran = _ran(
        substance, [*acts, row_dose], facts, _Water(volume_l, temp_c, light_h, filter),
        until=start + timedelta(hours=hours), draws=draws, met=met, hourly=True,
    )  # fmt: skip
    first = len(ran.found) - hours - 1
    kept: Array = np.maximum(ran.found[first:], LEAST)
    shares: Array = kept / kept[0]
    return shares


LEAST = 1e-30


class _Water(NamedTuple):
    volume_l: Estimate
    temp_c: Estimate | None
    light_h: float | None
    filter: str


class _Ran(NamedTuple):
    row: SubstanceRows
    found: Array  # records × draws
    recorded: tuple[int, ...]
    timed: Sequence[Timed]
    start: datetime


def _ran(
    substance: str,
    acts: Sequence[tuple[datetime, AnyAct]],
    facts: Facts,
    water: _Water,
    *,
    until: datetime | None,
    draws: int,
    half_life_h: tuple[float, float] | None = None,
    start_level: Estimate | None = None,
    met: bool = False,
    hourly: bool = False,
) -> _Ran:
    row = substance_rows(facts, substance)
    volume_l = water.volume_l
    start = min(at for at, _ in acts)
    end = max(until or start, *(at for at, _ in acts))
    setup = Setup(volume_l=volume_l, temp_c=water.temp_c, light_h=water.light_h, filter=water.filter)
    th = plain_parameters(setup, facts, draws)
    kept = [(at, act) for at, act in acts if not isinstance(act, Feed)]  # food is for the whole model
    timed = [Timed(minutes(at, start), act) for at, act in kept]
    last = minutes(end, start)
    line = water_line(setup, timed, th, draws)
    marks = tuple(range(0, last, 60)) if hourly else ()
    steps = table(
        as_met(timed, line, th),
        usual_standing(setup, facts),
        end=last,
        start_of_day=start.hour * 60 + start.minute,
        rules=rules(facts),
        marks=marks,
    )
    at_start = (
        np.zeros(draws) if start_level is None else estimated(start_level, uniform("volume_l", draws, 1))
    )
    dosed = [act.actives.get(substance, 0.0) for _, act in acts if isinstance(act, Dose)]
    run = Run(
        body=ALONE,
        th=th,
        substances=(substance,),
        sub=substance_parameters(
            (row,),
            draws,
            filtered=water.filter != "none",
            dosed={substance: max(dosed, default=0.0) / volume_l.value},
            half_life_h=half_life_h,
        ),
        table=steps,
        rules=rules(facts),
        draws=draws,
        start={},
        start_temp_c=th.temp_c,
        start_amounts=(at_start * th.volume_l)[None, :],
        met=(substance,) if met else (),
        records=frozenset({0, last, *marks}),
    )
    traced = trace(run)
    found = traced.amounts[:, 0] * th.per_l / (1.0 if line is None else line.shares(traced.minutes))
    return _Ran(row, found, traced.minutes, timed, start)


def _gathered(
    unit: str,
    generic: bool,
    substance: str,
    found: Array,
    recorded: tuple[int, ...],
    timed: Sequence[Timed],
    start: datetime,
) -> Levels:
    equal = np.full(found.shape[1], 1.0 / found.shape[1])
    points = []
    for minute in sorted({t.minute for t in timed if isinstance(t.what, Dose | Change)}):
        first = recorded.index(minute)
        kinds = tuple(str(t.what.__struct_config__.tag) for t in timed if t.minute == minute)
        before, after = band(found[first], equal), band(found[first + 1], equal)
        points.append(Point(start + timedelta(minutes=minute), kinds, before, after))
    dosed = _first_dose(substance, timed, recorded)
    return Levels(
        substance=substance,
        unit=unit,
        points=tuple(points),
        peak=band(found.max(axis=0), equal),
        trough=band(found[dosed:].min(axis=0), equal),
        end=band(found[-1], equal),
        generic=generic,
        times=tuple(start + timedelta(minutes=m) for m in recorded),
        draws=found,
    )


def _first_dose(substance: str, timed: Sequence[Timed], recorded: tuple[int, ...]) -> int:
    """Number of the record just after the first dose."""
    doses = [t.minute for t in timed if isinstance(t.what, Dose) and substance in t.what.actives]
    return recorded.index(min(doses)) + 1 if doses else 0
