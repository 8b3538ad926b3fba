"""The water of one draw, handed to general solvers, with the same bodies compiled as their right-hand side.

Acts are applied by the oracle between the solver's pieces and are not timed: that favours the solver. Pieces
reach from one act, or switch of the light, to the next; substances are given in closed form.
"""

from __future__ import annotations

import time
from itertools import groupby

import numpy as np
from numba import njit
from scipy.integrate import odeint, solve_ivp
from sksundae.cvode import CVODE

from tankward.model.compose import compose
from tankward.model.kernels import effect, fused
from tankward.model.layout import named
from tankward.model.oracle import Water
from tankward.model.processes.substances import FULL_EFFECT, loss_rates
from tankward.model.tank import PROCESSES

all_rates = fused(compose(PROCESSES).rates_of)


@njit(error_model="numpy")
def right_hand_side(t, y, dy, one):
    """dy/dt of one draw, t hours after the piece began."""
    asked, rates, flat, rate_flat, x, p, th, amounts, lost, per_l, filter_left, plants_left, full = one
    filter_, plants = 1.0, 1.0
    for s in range(amounts.size):
        reached = effect(amounts[s] * np.exp(-lost[s] * t) * per_l / full[s])
        filter_ *= 1.0 - (1.0 - filter_left[s]) * reached
        plants *= 1.0 - (1.0 - plants_left[s]) * reached
    x[0].filter[0], x[0].plants[0] = filter_, plants
    for j in range(y.size):
        flat[j] = y[j]
        rate_flat[j] = 0.0
    all_rates(asked[0], x[0], p[0], th[0], rates[0], 0)
    for j in range(y.size):
        dy[j] = rate_flat[j]


@njit(error_model="numpy")
def returned(t, y, one):
    dy = np.empty_like(y)
    right_hand_side(t, y, dy, one)
    return dy


def record_of(names, values):
    """One draw as a record of rows of one."""
    found = np.zeros(1, np.dtype([(name, np.float64, (1,)) for name in names]))
    found.view(np.float64)[:] = values
    return found


def lsoda(y0, hours, one, scale, rtol):
    return odeint(returned, y0, hours, args=(one,), tfirst=True, rtol=rtol, atol=rtol * scale, mxstep=100_000)


def cvode(y0, hours, one, scale, rtol):
    def asked(t, y, dy):
        right_hand_side(t, y, dy, one)

    solver = CVODE(asked, rtol=rtol, atol=rtol * scale, method="BDF", max_num_steps=1_000_000)
    return solver.solve(hours, y0).y


def dop853(y0, hours, one, scale, rtol):
    done = solve_ivp(
        returned,
        (hours[0], hours[-1]),
        y0,
        method="DOP853",
        t_eval=hours,
        args=(one,),
        rtol=rtol,
        atol=rtol * scale,
    )
    return done.y.T


class Handed(Water):
    """A run whose pieces go to a solver, one draw after the other."""

    def __init__(self, run, solver, rtol, draws):
        super().__init__(run)
        self.solver, self.rtol, self.only = solver, rtol, draws
        names = run.body.state
        self.scale = np.maximum(self.block.mean(axis=1), 1e-3)
        self.th_names, self.th_rows = named(run.th, run.draws)
        self.spent_s = 0.0
        self.asked, self.rates = record_of(names, 0.0), record_of(names, 0.0)
        self.x = record_of(("filter", "plants"), 1.0)
        self.hourly = {run.table.edges[0]: self.block[:, draws].copy()}

    def piece(self, steps):
        """From the first step to the end of the last; whole hours are kept."""
        run, step = self.run, steps[0]
        begin, end = step.minute, steps[-1].minute + round(steps[-1].hours * 60)
        inside = [m for m in range(begin - begin % 60, end + 1, 60) if begin < m <= end and m in run.records]
        minutes = sorted({begin, end, *inside})
        hours = np.array([(m - begin) / 60.0 for m in minutes])
        used = np.array([s in run.met or step.standing.met(s, run.rules) for s in run.substances])
        light = run.th.light_scale * step.lit
        lost = loss_rates(run.sub, self.temp_c, light=light, carbon=step.carbon, used=used)
        p = run.body.pace(self.environment(step, self.temp_c), run.th, run.draws)
        pace = np.array([getattr(p, name) for name in run.body.pace_names])
        found = np.empty((len(minutes), self.block.shape[0], len(self.only)))
        for n, i in enumerate(self.only):
            one = (
                self.asked,
                self.rates,
                self.asked.view(np.float64),
                self.rates.view(np.float64),
                self.x,
                record_of(run.body.pace_names, pace[:, i]),
                record_of(self.th_names, self.th_rows[:, i]),
                self.amounts[:, i].copy(),
                lost[:, i].copy(),
                float(run.th.per_l[i]),
                run.sub.filter_left[:, i].copy(),
                run.sub.plants_left[:, i].copy(),
                FULL_EFFECT * run.sub.usual[:, 0],
            )
            y0 = self.block[:, i].copy()
            began = time.process_time()
            found[:, :, n] = self.solver(y0, hours, one, self.scale, self.rtol)
            self.spent_s += time.process_time() - began
        for at, minute in enumerate(minutes):
            if minute in run.records:
                self.hourly[minute] = found[at]
        self.block[:, self.only] = found[-1]
        self.amounts = self.amounts * np.exp(-lost * hours[-1])


def solved(run, solver, rtol, draws):
    """Minutes -> fields × draws at whole hours, and the seconds that the solver took.

    Parameters
    ----------
    run : Run
        At one warmth throughout.
    solver : callable
        `lsoda`, `cvode` or `dop853`.
    rtol : float
        Relative tolerance; the absolute one is this share of a field's mean at the beginning.
    draws : sequence of int
        Which draws.
    """
    water = Handed(run, solver, rtol, list(draws))
    numbered = list(enumerate(run.table.steps))

    def begins(n):
        return bool(run.table.before.get(n)) or run.table.steps[n].new

    pieces, count = [], 0
    for n, step in numbered:
        count += begins(n)
        pieces.append((count, n, step))
    for _, group in groupby(pieces, key=lambda piece: piece[0]):
        members = list(group)
        for timed in run.table.before.get(members[0][1], ()):
            water.happens(timed.what)
        water.piece([step for *_, step in members])
    return water.hourly, water.spent_s


def worst(found, true):
    """Largest difference of any field over hours and draws, as a share of its largest value in that draw."""
    minutes = sorted(true)
    a, b = np.array([found[m] for m in minutes]), np.array([true[m] for m in minutes])
    return float((np.abs(a - b).max(axis=0) / np.maximum(np.abs(b).max(axis=0), 1e-9)).max())


__all__ = ["cvode", "dop853", "lsoda", "solved", "worst"]
