"""Against a general solver of high order (DOP853, rtol 1e-11) with the same bodies."""

from functools import cache
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from tankward.model.events import Timed
from tankward.model.oracle import Water, trace
from tankward.model.prepare import prepare, substances_of
from tankward.model.processes.substances import loss_rates, seen
from tankward.model.rows import rows_of
from tankward.model.simulate import minutes
from tankward.room.acts import Change, Dose, Heat
from tests.model.tanks import FACTS, START, after, exact, tank

HOURS, DRAWS = 48, 64
DOSED = (
    (after(hours=2), Dose(actives={"formalin": 46 * 20.0})),
    (after(hours=20), Change(share=0.4)),
    (after(hours=30), Dose(actives={"methylene_blue": 92.0})),
)
SETUP = tank(levels={"ammonia_n": exact(1.0), "nitrite_n": exact(0.4)}, temp_c=exact(26.0))


def prepared(step_min, acts=(), setup=SETUP):
    timed = [Timed(minutes(at, START), act) for at, act in acts]
    rows = substances_of(setup, timed, FACTS)
    return prepare(setup, timed, rows, FACTS, start=START, hours=HOURS, draws=DRAWS, step_min=step_min)


class Solved(Water):
    """The same run with each step handed to the solver; substances by their closed form at every time it
    asks for.
    """

    def advance(self, step):
        run, temp_c = self.run, self.temp_c
        begin, names = self.amounts.copy(), run.body.state
        used = np.array([s in run.met or step.standing.met(s, run.rules) for s in run.substances])
        rate = loss_rates(run.sub, temp_c, light=run.th.light_scale * step.lit, carbon=step.carbon, used=used)
        p = run.body.pace(self.environment(step, temp_c), run.th, run.draws)
        y_block, y = rows_of(names, run.draws)
        dy_block, dy = rows_of(names, run.draws)

        def rates(t, flat):
            y_block[:] = flat.reshape(y_block.shape)
            left, plants = seen(run.sub, begin * np.exp(-rate * t), run.th.per_l)
            run.body.rates(y, SimpleNamespace(filter=left, plants=plants), p, run.th, dy, dy_block)
            return dy_block.ravel().copy()

        done = solve_ivp(rates, (0, step.hours), self.block.ravel(), method="DOP853", rtol=1e-11, atol=1e-10)
        assert done.success
        self.block[:] = done.y[:, -1].reshape(self.block.shape)
        self.amounts = begin * np.exp(-rate * step.hours)


@cache
def exactly(dosed=False):
    """Fields and substances at the end of each hour by the solver."""
    run = prepared(60, DOSED if dosed else ())
    water = Solved(run)
    kept = []
    for n, minute in enumerate(run.table.edges):
        for timed in run.table.before.get(n, ()):
            water.happens(timed.what)
        if minute % 60 == 0:
            kept.append((water.block.copy(), water.amounts.copy()))
        if n < len(run.table.steps):
            water.advance(run.table.steps[n])
    return run.body.state, np.array([block for block, _ in kept]), np.array([amounts for _, amounts in kept])


@cache
def ours(step_min, dosed=False):
    found = trace(prepared(step_min, DOSED if dosed else ()))
    hours = [max(i for i, m in enumerate(found.minutes) if m == 60 * h) for h in range(HOURS + 1)]
    return {name: field[hours] for name, field in found.fields.items()}, found.amounts[hours]


def off(step_min, name, dosed=False):
    """Largest error of a field over hours and draws, as a share of its largest value in that draw."""
    names, blocks, _ = exactly(dosed)
    true = blocks[:, names.index(name)]
    return (np.abs(ours(step_min, dosed)[0][name] - true).max(axis=0) / np.abs(true).max(axis=0)).max()


ALL = ["tan_mg", "nitrite_mg", "nitrate_mg", "oxygen_mg", "demand_mg", "filter_fit"]


@pytest.mark.parametrize("name", ALL)
def test_the_target_holds_at_the_step_that_is_taken_with_substances(name):
    assert off(None, name, True) < 2e-4


@pytest.mark.parametrize("name", ["tan_mg", "nitrite_mg", "nitrate_mg", "oxygen_mg"])
def test_the_target_holds_at_half_an_hour_without(name):
    assert off(30, name) < 2e-4


def test_the_least_oxygen_holds_to_a_thousandth():
    names, blocks, _ = exactly(True)
    per_l = prepared(30).th.per_l
    true = (blocks[:, names.index("oxygen_mg")] * per_l).min(axis=0)
    assert np.abs((ours(None, True)[0]["oxygen_mg"] * per_l).min(axis=0) - true).max() < 1e-3


def test_substances_are_exact_at_any_step():
    true = exactly(True)[2]
    for step_min in (20, 60):
        assert ours(step_min, True)[1] == pytest.approx(true, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("name", ["tan_mg", "nitrite_mg", "oxygen_mg"])
def test_halving_the_step_divides_the_error_by_about_sixteen(name):
    assert 10 < off(20, name) / off(10, name) < 26


def test_a_ramp_of_warmth_is_taken_in_order():
    """While it warms, start, middle and end of a step are asked for: coarse against fine steps."""
    acts = [(after(hours=1), Heat(temp_c=30.0)), (after(hours=24), Heat(temp_c=None))]
    coarse, fine = (trace(prepared(m, acts, tank(heater=True))) for m in (30, 5))
    for name in ("tan_mg", "nitrite_mg", "oxygen_mg"):
        scale = np.abs(fine.fields[name][-1]).max()
        of, at = ([t.minutes.index(60 * h) for h in range(HOURS + 1)] for t in (coarse, fine))
        assert np.abs(coarse.fields[name][of] - fine.fields[name][at]).max() / scale < 5e-4
