"""Worms that bear at an age: a life table into rows.

Such a worm is born with the next one inside it. It bears first at `first_birth`, then every `next_birth`, and
its rate of death rises with age: e-fold `ageing` times within a mean life, which is 1 / `natural` (Gompertz).
From these four follow how many live to each birth, and growth (the equation of Euler and Lotka); neither is a
number of the facts. Births less deaths of a mean life understate growth: where all grow, most are young.

The times are three stages of equal rows: to the first birth, to the second, to each later one. The share that
lives through each is the table's, so the number of young of one worm is too; so is the life left after the
second birth. The first two times are stretched by one factor that makes growth the table's, whatever the
rows. Warmth makes births faster by q10, deaths by the rows of `natural`.
"""

from __future__ import annotations

import msgspec
import numpy as np

from tankward.model.rows import Array

from .numbers import Numbers, breeding
from .tables import Around, Gathering, Pace, Value

STAGES = 3  # to the first birth, to the second, to each later one
BIRTHS = 14  # of which the last is reached by nobody
EULER = 0.5772156649015329
TERMS = 20  # of the exponential integral, for arguments to 1
MOST = 0.2  # of ln z, to which the series is good
STEPS = 8
NEWTON = 12
FINE = 8  # parts of the time between two births
LEAST = 1e-6  # growth [1/d] below which times are not stretched; share below which none lives on
SLOWEST = 0.6  # ageing below which the series does not hold: a death rate that hardly rises


class Ages(msgspec.Struct, frozen=True, kw_only=True):
    """Of one organism at the warmth at which its ages were read; draws last."""

    lives: Array  # births × draws: share that lives to each birth
    growth: Array  # 1/d
    onward: Array  # stages × draws: rate at which each row is left for the next [1/d]
    death: Array  # stages × draws [1/d]
    stable: Array  # rows × draws: share of each row where all ages grow alike

    @property
    def young(self) -> Array:
        """How many one worm bears in its life."""
        return np.asarray(self.lives.sum(axis=0))


def at_an_age(n: Numbers, stage: str) -> bool:
    """Whether the facts say at which age it bears."""
    return n.has("first_birth", stage)


def rows_of(n: Numbers, stage: str, each: int) -> int:
    """How many rows a stage has whose times have `each`."""
    return STAGES * each if at_an_age(n, stage) else each


def start_of_death(ageing: Array) -> Array:
    """The rate of death of the newborn over the speed at which it rises. [-]

    Parameters
    ----------
    ageing : array
        How many times the rate rises e-fold within a mean life. [-]

    Notes
    -----
    The rate at age a is z b e^(b a), b = ageing / mean life. The mean life is e^z E1(z) / b, with E1 the
    exponential integral; so e^z E1(z) = ageing gives z.
    """
    log_z = -EULER - ageing
    for _ in range(STEPS):  # of Newton; e^z E1(z) is all but straight in ln z
        z = np.exp(log_z)
        there = np.exp(z) * _e1(log_z)
        log_z = np.minimum(log_z - (there - ageing) / (z * there - 1.0), MOST)
    return np.asarray(np.exp(log_z))


def living_to(ages_d: Array, mean_d: Array, ageing: Array) -> Array:
    """Share that lives to each age, at a rate of death that rises with age: ages × draws. [-]"""
    steep = np.maximum(ageing, SLOWEST)
    return np.asarray(np.exp(-start_of_death(steep) * np.expm1(steep / mean_d * ages_d)))


def _e1(log_z: Array) -> Array:
    """The exponential integral at z up to 1, by its series."""
    z, total, term = np.exp(log_z), -EULER - log_z, np.ones_like(log_z)
    for k in range(1, TERMS):
        term = term * -z / k
        total = total - term / k
    return np.asarray(total)


def growth_of(ages_d: Array, lives: Array) -> Array:
    """Growth where so many live to each birth: the root x of Σ lives e^(−x age) = 1. [1/d]"""
    x = np.zeros_like(lives[0])
    for _ in range(NEWTON):  # the sum falls and is hollow: Newton's steps end on the root from wherever
        each = lives * np.exp(-x * ages_d)
        x = x + (each.sum(axis=0) - 1.0) / (each * ages_d).sum(axis=0)
    return np.asarray(x)


def ages_of(n: Numbers, stage: str, each: int) -> Ages:
    """The life table of a stage, as rows.

    Parameters
    ----------
    n : Numbers
        Of the organism; its `first_birth` is known at one temperature.
    stage : str
        That bears.
    each : int
        Rows of each of the three times.
    """
    at = n.rows["first_birth", stage].temp_c[0]
    first, then = n.of("first_birth", stage, at), n.of("next_birth", stage, at)
    ages = first + then * np.arange(BIRTHS * FINE)[:, None] / FINE
    every = living_to(ages, 1.0 / n.of("natural", stage, at), n.of("ageing", stage))
    lives, growth = every[::FINE], growth_of(ages[::FINE], every[::FINE])
    tail, second = every[FINE:], lives[1]
    left_d = then / FINE * (tail.sum(axis=0) - second / 2.0) / second  # to live, at the second birth
    later = lives[2:].sum(axis=0)
    passes = np.array([lives[0], second / lives[0], later / (second + later)])
    apart = np.maximum(passes, LEAST) ** (-1.0 / each)  # (going on + death) / going on, of a row
    last = 1.0 / (left_d * (apart[2] - 1.0))
    onward = np.array([each / first, each / then, last])
    onward[:2] /= _stretch(apart, onward, growth, each)
    death = onward * (apart - 1.0)
    return Ages(
        lives=lives, growth=growth, onward=onward, death=death, stable=_stable(onward, death, growth, each)
    )


def _stretch(apart: Array, onward: Array, growth: Array, each: int) -> Array:
    """By what the first two times are multiplied, so that rows of such times grow alike. [-]"""
    more = 1.0 / (1.0 - (apart[2] + growth / onward[2]) ** -each)
    y = np.zeros_like(growth)  # growth × factor
    for _ in range(NEWTON):
        one, two = apart[0] + y / onward[0], apart[1] + y / onward[1]
        total = one**-each * (1.0 + more * two**-each)
        turn = total / (one * onward[0]) + more * (one * two) ** -each / (two * onward[1])
        y = y + (total - 1.0) / (each * turn)
    small = np.abs(growth) < LEAST
    return np.where(small, 1.0, y / np.where(small, 1.0, growth))


def _stable(onward: Array, death: Array, growth: Array, each: int) -> Array:
    left = onward + death + growth
    share = onward / left
    into, rows = np.ones_like(growth), []
    for stage in range(STAGES):
        if stage == STAGES - 1:  # those that bear again come back to its first row
            into = into / (1.0 - share[stage] ** each)
        for _ in range(each):
            rows.append(into / left[stage])
            into = into * share[stage]
    told = np.array(rows)
    return np.asarray(told / told.sum(axis=0))


def bears_at_an_age(g: Gathering, n: Numbers, stage: str, into: int, crowd: int, each: int) -> None:
    """Rows one into the next, and a birth at the end of each time; death by age."""
    ages, rows = ages_of(n, stage, each), g.of_stage(stage)
    g.ages[stage] = ages.stable
    for k, row in enumerate(rows):
        time = k // each
        rate = _warmer(n, stage, ages.onward[time])
        g.dies([row], _dying(n, stage, ages.death[time]))
        if (k + 1) % each:
            g.flow(row, rows[k + 1], rate)
        else:
            goes_on = rows[min(time + 1, STAGES - 1) * each]
            g.flow(row, into, rate, stays=goes_on, blocked=True, given=crowd)


def _warmer(n: Numbers, stage: str, rate: Array) -> Pace:
    """Births and what leads to them, faster in warmer water; none outside its temperatures. [1/d]"""
    at = n.of("first_birth", stage, n.rows["first_birth", stage].temp_c[0])

    def now(e: Around) -> Value:
        return rate * (at / n.of("first_birth", stage, e.temp_c)) * breeding(n, e.temp_c)

    return now


def _dying(n: Numbers, stage: str, rate: Array) -> Pace:
    """Death of one age, as that of all changes with warmth. [1/d]"""
    at = n.of("natural", stage, n.rows["first_birth", stage].temp_c[0])

    def now(e: Around) -> Value:
        return rate * (n.of("natural", stage, e.temp_c) / at)

    return now
