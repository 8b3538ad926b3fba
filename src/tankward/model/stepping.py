"""How long the steps of a run may be: as long as the method is stable and true, shorter for a while where a
dose takes oxygen or little water is left.

Asked of facts and of all 1024 draws whatever the number run, so that fewer draws are the same draws. Gas sets
no step: the integrator takes its pull exactly.
"""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
import numpy as np

from tankward.knowledge.known import Facts
from tankward.room.acts import Change, Dose, Heat, PowerBack, PowerCut
from tankward.water.animals import O2_MG_PER_MMOL, resting_oxygen_50g_mmol_h

from .draws import COUNTS
from .events import Timed
from .known import SubstanceRows, row
from .parameters import parameters
from .processes.breathing import unsure
from .rows import ALL, Rows
from .setup import Setup
from .water_line import water_line

STEPS_MIN = (30, 20, 15, 10, 6, 5, 4, 3, 2, 1)  # divisors of an hour, so that hours are always recorded
STABLE = 2.5  # step × fastest rate; the method breaks at 2.78
BREATH_MG_L = 2.0  # oxygen that the animals may take within a step
GROWS, WARM = 4.0, 1.6  # by how much a guild may outgrow its load, and be faster at 25 than at 20 °C
TAKES_MG_L_H = 1.0  # what a dose takes of oxygen in an hour, from which on steps are shorter after it
AFTER_DOSE_MIN = ((20, 1), (60, 2), (180, 5), (1440, 20))  # for so long after it, which step
LOOKS_MIN: tuple[int, ...] = (2, 5, 10, 20, 40)  # after an act, also recorded: gas settles within the hour
LOOKS_DOSED_MIN = (
    30,
    50,
    60,
    80,
    100,
    120,
    150,
    180,
)  # where it takes oxygen
LOOKS_WARMED_MIN = (
    *range(15, 240, 15),
    *range(240, 1441, 30),
)  # it arrives at some time
COARSE_MIN = (120, 60)  # divisors of a day
COARSE = 0.5  # of the step that is stable: without it errors grow where much is fed in warm water
AFTER_COARSE_MIN = ((720, 60),)
COARSE_LOOKS_MIN: tuple[tuple[int, ...], ...] = ((5, 20), (60, 120), (60, 180, 360, 720))
LN2 = 0.6931471805599453
FULL = 0.95  # of the water: with more the steps of a full tank hold


class Span(msgspec.Struct, frozen=True):
    """A stretch of minutes in which steps are no longer than `step`."""

    begin: int
    end: int
    step: int


def steps_of(
    setup: Setup,
    timed: Sequence[Timed],
    rows: Sequence[SubstanceRows],
    facts: Facts,
    end: int,
    *,
    th: Rows | None = None,
    coarse: bool = False,
) -> list[tuple[int, int]]:
    """From which minute on which longest step holds. [min]

    `th`: all parameters of the tank, where they are known. `coarse`: as long as the method is stable.
    """
    th = th or parameters(setup, facts, COUNTS[-1])
    spans = [Span(0, end, step_for(th, coarse=coarse)), *_shallow(setup, timed, th, end, coarse)]
    if rows:
        spans += _after_doses(setup, timed, rows, facts, AFTER_COARSE_MIN if coarse else AFTER_DOSE_MIN)
    ends = sorted({m for s in spans for m in (s.begin, s.end) if 0 <= m < end})
    return [(m, min(s.step for s in spans if s.begin <= m < s.end)) for m in ends]


def looks(
    setup: Setup,
    timed: Sequence[Timed],
    rows: Sequence[SubstanceRows],
    facts: Facts,
    *,
    coarse: bool = False,
) -> set[int]:
    """Minutes to record besides whole hours, so that no highest or lowest falls between two records."""
    soon, dosed, warmed = COARSE_LOOKS_MIN if coarse else (LOOKS_MIN, LOOKS_DOSED_MIN, LOOKS_WARMED_MIN)
    found = set(soon)
    for t in timed:
        after = soon
        if isinstance(t.what, Dose) and _takes(t.what, setup, rows, facts):
            after += dosed
        warms = isinstance(t.what, Heat | Change) and t.what.temp_c is not None
        if warms or isinstance(t.what, PowerCut | PowerBack):
            after += warmed
        found.update(t.minute + m for m in after)
    return found


def step_for(th: Rows, left: float = 1.0, *, coarse: bool = False) -> int:
    """Minutes: the longest step that is stable for the filter and in which breath takes little, with so much
    of the water left; coarse: up to two hours, if all that fades in a tank is stable in them.
    """
    grown = np.maximum(th.first_start_mg_h, th.ration_mg_h * th.feed_protein * th.tan_per_protein * GROWS)
    filtering = float(np.max(grown * th.per_l / th.first_half_mg_l)) * WARM / left
    breath = resting_oxygen_50g_mmol_h(th.temp_c) * O2_MG_PER_MMOL * th.breath_50g * th.per_l
    breath = breath * unsure(th, th.temp_c, ALL)
    breathing = float(np.max(breath * th.breath_factor * th.breath_fed)) / left
    longest_h = min(STABLE / max(filtering, 1e-9), BREATH_MG_L / max(breathing, 1e-9))
    if coarse:
        fading = LN2 / min(float(np.min(th.demand_half_h)), float(np.min(th.harm_half_h)))
        longest_h = min(COARSE * longest_h, STABLE / fading)
    steps = (*COARSE_MIN, *STEPS_MIN) if coarse else STEPS_MIN
    return next((m for m in steps if m / 60.0 <= longest_h), steps[-1])


def _after_doses(
    setup: Setup,
    timed: Sequence[Timed],
    rows: Sequence[SubstanceRows],
    facts: Facts,
    steps: Sequence[tuple[int, int]],
) -> list[Span]:
    """Doses that may take so much oxygen that it falls within a step."""
    doses = [(t.minute, t.what) for t in timed if isinstance(t.what, Dose) and t.minute >= 0]
    taking = [minute for minute, dose in doses if _takes(dose, setup, rows, facts)]
    return [Span(minute, minute + lasts, step) for minute in taking for lasts, step in steps]


def _takes(dose: Dose, setup: Setup, rows: Sequence[SubstanceRows], facts: Facts) -> bool:
    """Whether a dose may take so much oxygen within an hour that it matters."""
    fastest_1_h = np.log(2.0) / row(facts, "oxygen_taken").low
    by_id = {r.id: r for r in rows}
    known = [(by_id[s], amount) for s, amount in dose.actives.items() if s in by_id]
    needs_mg_l = sum(amount * _most_oxygen(one) for one, amount in known) / setup.volume_l.low
    return bool(needs_mg_l * fastest_1_h > TAKES_MG_L_H)


def _most_oxygen(one: SubstanceRows) -> float:
    """Oxygen that a unit of it may take. [mg for each unit × L]"""
    return one.oxygen.high if one.oxygen_by == "amount" else one.oxygen.high / (one.usual or 1.0)


def _shallow(setup: Setup, timed: Sequence[Timed], th: Rows, end: int, coarse: bool) -> list[Span]:
    """Where little water is left everything in it goes faster."""
    line = water_line(setup, timed, th, COUNTS[-1])
    if line is None:
        return []
    begins = [0, *sorted({round(m) for m, _ in line.refilled if 0 < m < end})]
    spans = []
    for begin, until in zip(begins, (*begins[1:], end), strict=True):
        left = float(min(line.share(begin).min(), line.share(until, after=False).min()))
        if left < FULL:
            spans.append(Span(begin, until, step_for(th, left, coarse=coarse)))
    return spans
