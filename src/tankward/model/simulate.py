"""A setup and acts into a record: what happens in a body of water, with or without a room around it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

import msgspec
import numpy as np

from tankward.knowledge.beliefs import estimated
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.room.acts import AnyAct, Dose, Feed
from tankward.water.ammonia import unionised_share_formula
from tankward.water.oxygen import oxygen_saturation_formula

from .compose import compose
from .draws import COUNTS, uniform
from .events import Event, Timed
from .known import SubstanceRows, dissolved, rules, substance_rows
from .oracle import Run, Trace, trace
from .parameters import parameters, usual_light_h
from .processes.substances import substance_parameters
from .rows import Array, Rows
from .setup import Setup
from .standing import Standing
from .table import table
from .tank import PROCESSES

BODY = compose(PROCESSES)
WATER = {
    "ammonia_n": "mg/L",
    "nh3_n": "mg/L",
    "nitrite_n": "mg/L",
    "nitrate_n": "mg/L",
    "oxygen": "mg/L",
    "temp_c": "C",
}
FIELDS = {"ammonia_n": "tan_mg", "nitrite_n": "nitrite_mg", "nitrate_n": "nitrate_mg", "oxygen": "oxygen_mg"}
STEPS_MIN = (30, 20, 15, 10, 6, 5)  # divisors of an hour, so that hours are always recorded
STABLE = 2.5  # step × fastest rate; the method breaks at 2.78
GROWS, WARM = 4.0, 1.6  # by how much a guild may outgrow its load, and be faster at 25 than at 20 °C


class Record(msgspec.Struct, frozen=True):
    """What a run gave: for each name an array times × draws; where something happened a time stands twice."""

    start: datetime
    minutes: tuple[int, ...]
    units: dict[str, str]
    arrays: dict[str, Array]
    weights: Array
    ph: Array  # kept as it was told, one for each draw
    lowest: dict[str, float]

    @property
    def times_h(self) -> tuple[float, ...]:
        """Hours from the start."""
        return tuple(minute / 60.0 for minute in self.minutes)

    @property
    def names(self) -> tuple[str, ...]:
        """What was recorded: substances by id, then the water."""
        return tuple(self.arrays)

    def levels(self, name: str) -> Array:
        """times × draws of one name.

        Raises
        ------
        BadInput
            If nothing of that name was recorded.
        """
        if name not in self.arrays:
            raise BadInput("name", name, f"is not in this forecast. It holds {', '.join(self.arrays)}.")
        return self.arrays[name]


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
        Levels of every substance and of ammonia, nitrite, nitrate, oxygen, warmth.
    """
    if draws not in COUNTS:
        raise BadInput("draws", str(draws), f"is not kept. Write {', '.join(map(str, COUNTS))}.")
    timed = [Timed(_minute(at, start), what) for at, what in (*acts, *events)]
    rows = _substances(setup, timed, facts)
    run = _run(
        setup, timed, rows, facts, start=start, hours=hours, draws=draws, marks=marks, step_min=step_min
    )
    return _record(run, trace(run), rows, start)


def _minute(at: datetime, start: datetime) -> int:
    return round((at - start) / timedelta(minutes=1))


def _substances(setup: Setup, timed: Sequence[Timed], facts: Facts) -> tuple[SubstanceRows, ...]:
    """In the order in which they come in: a substance that is added later leaves the draws of the others
    alone.
    """
    found = [s for s in setup.levels if s not in FIELDS]
    for one in sorted(timed, key=lambda t: t.minute):
        if isinstance(one.what, Dose):
            found += sorted(one.what.actives)
        elif isinstance(one.what, Feed):
            found += sorted(one.what.actives_mg_per_g)
    return tuple(substance_rows(facts, s) for s in dict.fromkeys(found) if dissolved(facts, s))


def _run(
    setup: Setup,
    timed: Sequence[Timed],
    rows: tuple[SubstanceRows, ...],
    facts: Facts,
    *,
    start: datetime,
    hours: float,
    draws: int,
    marks: Sequence[datetime],
    step_min: int | None,
) -> Run:
    th = parameters(setup, facts, draws)
    end, day = round(hours * 60), start.hour * 60 + start.minute
    recorded = {_minute(at, start) for at in marks}
    every = step_min or step_for(parameters(setup, facts, COUNTS[-1]))
    steps = table(
        timed,
        usual_standing(setup, facts),
        end=end,
        start_of_day=day,
        rules=rules(facts),
        every=every,
        marks=sorted(recorded),
    )
    sub = substance_parameters(
        rows, draws, filtered=setup.filter != "none", dosed=_largest(timed, setup.volume_l.value)
    )
    return Run(
        body=BODY,
        th=th,
        substances=tuple(r.id for r in rows),
        sub=sub,
        table=steps,
        rules=rules(facts),
        draws=draws,
        start=_at_start(setup, th, sub, rows, draws),
        start_temp_c=th.temp_c,
        start_amounts=_amounts(setup, th, rows, draws),
        met=setup.met,
        records=frozenset({0, end, *recorded, *range(-day % 60, end, 60)}),
    )


def usual_standing(setup: Setup, facts: Facts) -> Standing:
    """How the tank is kept before the first act."""
    light_h = usual_light_h(facts) if setup.light_h is None else setup.light_h
    return Standing(light_h=light_h, feed=setup.feed, food_g=setup.food_g)


def step_for(th: Rows) -> int:
    """Minutes: the longest step that is stable for the filter in every draw there is; gas sets no step.

    Asked of all 1024 draws whatever the number run, so that fewer draws are the same draws.
    """
    grown = np.maximum(th.first_start_mg_h, th.ration_mg_h * th.feed_protein * th.tan_per_protein * GROWS)
    fastest = float(np.max(grown * th.per_l / th.first_half_mg_l)) * WARM
    longest_h = min(STABLE / max(fastest, 1e-9), 0.5)
    return next((m for m in STEPS_MIN if m / 60.0 <= longest_h), STEPS_MIN[-1])


def _largest(timed: Sequence[Timed], volume_l: float) -> dict[str, float]:
    """The largest level of each substance that one dose brings."""
    most: dict[str, float] = {}
    for one in timed:
        if isinstance(one.what, Dose):
            for s, amount in one.what.actives.items():
                most[s] = max(most.get(s, 0.0), amount / volume_l)
    return most


def _at_start(
    setup: Setup, th: Rows, sub: Rows, rows: tuple[SubstanceRows, ...], draws: int
) -> dict[str, Array]:
    """The fields at the beginning; oxygen saturated and nitrogen nil where nothing was told."""
    start = {
        "oxygen_mg": oxygen_saturation_formula(th.temp_c) * th.volume_l,
        "first_guild_mg_h": th.first_start_mg_h,
        "second_guild_mg_h": th.second_start_mg_h,
        "filter_fit": _fit(setup, sub, rows, draws),
    }
    for name, field in FIELDS.items():
        if name in setup.levels:
            start[field] = estimated(setup.levels[name], uniform(f"reading_{name}", draws)) * th.volume_l
    return start


def _fit(setup: Setup, sub: Rows, rows: tuple[SubstanceRows, ...], draws: int) -> Array:
    """What medicine of the last weeks has left of the filter."""
    hit = [n for n, r in enumerate(rows) if r.id in setup.met]
    return np.asarray(np.prod(sub.filter_left[hit], axis=0)) if hit else np.ones(draws)


def _amounts(setup: Setup, th: Rows, rows: tuple[SubstanceRows, ...], draws: int) -> Array:
    amounts = np.zeros((len(rows), draws))
    for n, row in enumerate(rows):
        if row.id in setup.levels:
            about = setup.levels[row.id]
            amounts[n] = estimated(about, uniform("volume_l", draws, turn=n + 1)) * th.volume_l
    return amounts


def _record(run: Run, traced: Trace, rows: tuple[SubstanceRows, ...], start: datetime) -> Record:
    """Levels from amounts."""
    arrays: dict[str, Array] = {}
    units: dict[str, str] = {}
    for n, row in enumerate(rows):
        arrays[row.id], units[row.id] = traced.amounts[:, n] * run.th.per_l, row.unit
    for name, field in FIELDS.items():
        arrays[name] = traced.fields[field] * run.th.per_l
    arrays["nh3_n"] = arrays["ammonia_n"] * unionised_share_formula(run.th.ph, traced.temp_c)
    arrays["temp_c"] = traced.temp_c
    units |= WATER
    order = (*(r.id for r in rows), *WATER)
    return Record(
        start=start,
        minutes=traced.minutes,
        units=units,
        arrays={name: arrays[name].astype(np.float32) for name in order},
        weights=np.full(run.draws, 1.0 / run.draws),
        ph=run.th.ph,
        lowest=traced.lowest,
    )
