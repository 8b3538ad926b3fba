"""A setup, acts and facts into everything that a run reads."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from types import ModuleType

import numpy as np

from tankward.knowledge.beliefs import estimated
from tankward.knowledge.known import Facts
from tankward.room.acts import Dose, Feed
from tankward.water.oxygen import oxygen_saturation_formula

from .compose import compose
from .draws import uniform
from .events import Timed
from .known import SubstanceRows, dissolved, rules, substance_rows
from .oracle import Run
from .parameters import parameters, usual_light_h
from .processes.substances import substance_parameters
from .record import FIELDS
from .resting import hold
from .rows import Array, Rows
from .setup import Setup
from .standing import Standing
from .stepping import looks, steps_of
from .table import table
from .tank import PROCESSES
from .water_line import as_met, water_line

SETTLED_MIN, APART_MIN = 160, 20  # after a break the extremes are near, and closer records find them


def substances_of(setup: Setup, timed: Sequence[Timed], facts: Facts) -> tuple[SubstanceRows, ...]:
    """In the order in which they come in: a substance that is added later leaves the draws of the others
    alone.
    """
    return tuple(substance_rows(facts, s) for s in substances_in(setup, timed, facts))


def substances_in(setup: Setup, timed: Sequence[Timed], facts: Facts) -> tuple[str, ...]:
    """The same by id."""
    found = [s for s in setup.levels if s not in FIELDS]
    for one in sorted(timed, key=lambda t: t.minute):
        if isinstance(one.what, Dose):
            found += sorted(one.what.actives)
        elif isinstance(one.what, Feed):
            found += sorted(one.what.actives_mg_per_g)
    return tuple(s for s in dict.fromkeys(found) if dissolved(facts, s))


def prepare(
    setup: Setup,
    timed: Sequence[Timed],
    rows: tuple[SubstanceRows, ...],
    facts: Facts,
    *,
    start: datetime,
    hours: float,
    draws: int,
    marks: Sequence[int] = (),
    step_min: int | None = None,
    processes: Sequence[ModuleType] = PROCESSES,
) -> Run:
    """Everything that a run reads; `marks` are minutes to record besides whole hours."""
    th, body, usual = (
        parameters(setup, facts, draws, processes),
        compose(processes),
        usual_standing(setup, facts),
    )
    hold(th, body, setup, usual)
    line = water_line(setup, timed, th, draws)
    acts, timed = timed, as_met(timed, line, th)
    end, day = round(hours * 60), start.hour * 60 + start.minute
    every = [(0, step_min)] if step_min else steps_of(setup, acts, rows, facts, end)
    levels = line.asked(end, day) if line else []
    looked = set() if step_min else looks(setup, acts, rows, facts)
    recorded = {0, end, *marks, *range(-day % 60, end, 60), *(m for m in looked if 0 < m < end)}
    steps = table(
        timed,
        usual,
        end=end,
        start_of_day=day,
        rules=rules(facts),
        every=every,
        marks=sorted(recorded),
        levels=levels,
    )
    sub = substance_parameters(
        rows, draws, filtered=setup.filter != "none", dosed=largest(timed, setup.volume_l.value)
    )
    litres = th.volume_l if line is None else th.volume_l * line.share(0, after=False)
    return Run(
        body=body,
        th=th,
        substances=tuple(r.id for r in rows),
        sub=sub,
        table=steps,
        rules=rules(facts),
        draws=draws,
        start=_at_start(setup, th, sub, rows, litres),
        start_temp_c=th.temp_c,
        start_amounts=_amounts(setup, th, rows, litres),
        line=line,
        met=setup.met,
        records=frozenset({*recorded, *steps.breaks, *steps.settling(SETTLED_MIN, APART_MIN)}),
    )


def usual_standing(setup: Setup, facts: Facts) -> Standing:
    """How the tank is kept before the first act."""
    light_h = usual_light_h(facts) if setup.light_h is None else setup.light_h
    return Standing(light_h=light_h, feed=setup.feed, food_g=setup.food_g)


def largest(timed: Sequence[Timed], volume_l: float) -> dict[str, float]:
    """The largest level of each substance that one dose brings."""
    most: dict[str, float] = {}
    for one in timed:
        if isinstance(one.what, Dose):
            for s, amount in one.what.actives.items():
                most[s] = max(most.get(s, 0.0), amount / volume_l)
    return most


def _at_start(
    setup: Setup, th: Rows, sub: Rows, rows: tuple[SubstanceRows, ...], litres: Array
) -> dict[str, Array]:
    """The fields at the beginning; oxygen saturated and nitrogen nil where nothing was told."""
    draws = litres.size
    start = {
        "oxygen_mg": oxygen_saturation_formula(th.temp_c) * litres,
        "first_guild_mg_h": th.first_start_mg_h,
        "second_guild_mg_h": th.second_start_mg_h,
        "filter_fit": _fit(setup, sub, rows, draws),
        "alkalinity_mg": th.alkalinity * litres,
        "co2_mg": th.co2_usual * litres,
    }
    for name, field in FIELDS.items():
        if name in setup.levels:
            start[field] = estimated(setup.levels[name], uniform(f"reading_{name}", draws)) * litres
    return start


def _fit(setup: Setup, sub: Rows, rows: tuple[SubstanceRows, ...], draws: int) -> Array:
    """What medicine of the last weeks has left of the filter."""
    hit = [n for n, r in enumerate(rows) if r.id in setup.met]
    return np.asarray(np.prod(sub.filter_left[hit], axis=0)) if hit else np.ones(draws)


def _amounts(setup: Setup, th: Rows, rows: tuple[SubstanceRows, ...], litres: Array) -> Array:
    draws = litres.size
    amounts = np.zeros((len(rows), draws))
    for n, row in enumerate(rows):
        if row.id in setup.levels:
            about = setup.levels[row.id]
            amounts[n] = estimated(about, uniform("volume_l", draws, turn=n + 1)) * litres
    return amounts
