"""Organisms in small waters for the tests: constant warmth, a substance that fades, acts at instants."""

from itertools import pairwise

import numpy as np
from scipy.integrate import solve_ivp

from tankward.model.events import Timed
from tankward.model.happening import by_minute, happens
from tankward.model.lives.kills import reaches
from tankward.model.lives.tables import Herd
from tankward.model.organisms import life_of, start_of
from tankward.model.outbreak import Course, Walk, filled, step_min, workspace
from tankward.model.processes.organism import rates as body
from tankward.model.rows import ALL
from tankward.model.standing import Standing
from tankward.model.surroundings import Surroundings
from tests.model.tanks import FACTS

DAY = 1440


def herd(draws, fish=20.0, litres=60.0, gram=1.0, turnover=96.0):
    full = np.full
    return Herd(
        fish=full(draws, fish),
        fish_g=full(draws, gram),
        volume_l=full(draws, litres),
        turnover_1_d=full(draws, turnover),
    )


def water(draws, *, days, temp_c=25.0, stress=0.4, levels=None, acts=()):
    """Levels: substance -> (at the beginning, half-life in days)."""
    minutes = np.arange(0, days * DAY + 60, 60)
    fading = {s: np.log(c) - np.log(2) / half * minutes / DAY for s, (c, half) in (levels or {}).items()}
    logs = {s: np.broadcast_to(log[:, None], (minutes.size, draws)) for s, log in fading.items()}
    flat = np.ones((minutes.size, draws))
    return Surroundings(
        minutes=minutes,
        temp_c=flat * temp_c,
        stress=flat * stress,
        logs=logs,
        happening=tuple(Timed(round(day * DAY), act) for day, act in acts),
        standing=((0, Standing()),),
        steady=True,
    )


def course(organism, draws=16, *, days=4, every=None, facts=FACTS, start=None, at=None, **told):
    """One organism over so many days."""
    life = life_of(facts, organism, at or herd(draws), draws)
    around = water(draws, days=days, **told)
    levels = {s: c for s, (c, _) in (told.get("levels") or {}).items()}
    units = {s: "uL/L" if s == "formalin" else "mg/L" for s in levels}
    found, _ = reaches(life.organism, life.gathered, "water", levels, units, draws)
    now = around.around(0, after=True)
    y = filled(life, now, start_of(life, None, now.temp_c)) if start is None else start
    every = every or step_min(life, now, dosed=bool(found))
    return Course(life=life, around=around, begin=0, end=days * DAY, start=y, reach=tuple(found), every=every)


def exactly(told):
    """Rows at whole days by a solver of high order."""
    acts, y, kept = by_minute(told.around.happening, 0, told.end), told.start.copy(), [told.start.copy()]
    for a, b in pairwise(sorted({*range(0, told.end + 1, DAY), *acts})):
        for what in acts.get(a, ()):
            y = happens(y, what, told.life, told.reach)
        y = _solved(told, y, a, b)
        if b % DAY == 0:
            kept.append(y.copy())
    return np.array(kept)


def _solved(told, y, begin, end):
    life, walk, work = told.life, Walk(told), workspace(told.life)

    def rates(t, flat):
        minute = begin + t * DAY
        state, dy = flat.reshape(y.shape), np.empty_like(y)
        pace, kill = walk.pace(minute, after=True), walk.kill(minute, after=True)
        body(state, pace, life.table, kill, dy, work, ALL)
        return dy.ravel()

    done = solve_ivp(rates, (0, (end - begin) / DAY), y.ravel(), method="DOP853", rtol=1e-11, atol=1e-9)
    return done.y[:, -1].reshape(y.shape)


def daily(passed):
    """Rows at whole days, before what happens then."""
    first = {}
    for n, minute in enumerate(passed.minutes):
        first.setdefault(minute, n)
    return passed.rows[[first[m] for m in sorted(first) if m % DAY == 0]]


def off(told, true, passed):
    """Largest error of a row over days, as a share of its largest value in its draw."""
    ours = daily(passed)
    scale = np.maximum(np.abs(true).max(axis=0), 1e-6)
    worst = (np.abs(ours - true).max(axis=0) / scale)[1:]
    return float(worst.max())
