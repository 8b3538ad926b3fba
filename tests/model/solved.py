"""The same run with each step handed to a general solver of high order, as the truth for tests."""

from types import SimpleNamespace

import numpy as np
from scipy.integrate import solve_ivp

from tankward.model.oracle import Water
from tankward.model.processes.substances import loss_rates, seen
from tankward.model.record import running_ph
from tankward.model.rows import rows_of
from tankward.water.ammonia import unionised_share_formula

LOOK_H = 1 / 20  # so closely the extremes are looked for


class Solved(Water):
    """Each step by DOP853, rtol 1e-11; substances by their closed form at every time it asks for. On the way
    the highest NH3 and the least oxygen of each draw. [mg/L]
    """

    def __init__(self, run):
        super().__init__(run)
        self.nh3 = np.zeros(run.draws)
        self.oxygen = np.full(run.draws, np.inf)

    def look(self, fields, temp_c):
        """Fields × draws at one time."""
        at = dict(zip(self.run.body.state, fields * self.per_l, strict=True))
        ph = self.run.th.ph
        if self.run.th.carbonate_read.any():
            ph = running_ph(at["co2_mg"][None], at["alkalinity_mg"][None], temp_c[None])[0]
        self.nh3 = np.maximum(self.nh3, at["tan_mg"] * unionised_share_formula(ph, temp_c))
        self.oxygen = np.minimum(self.oxygen, at["oxygen_mg"])

    def advance(self, step):
        run, temp_c = self.run, self.temp_c
        begin, names = self.amounts.copy(), run.body.state
        used = np.array([s in run.met or step.standing.met(s, run.rules) for s in run.substances])
        rate = loss_rates(run.sub, temp_c, light=run.th.light_scale * step.lit, carbon=step.carbon, used=used)
        p = run.body.pace(self.environment(step, temp_c), run.th, run.draws)
        self.per_l = p.per_l
        y_block, y = rows_of(names, run.draws)
        dy_block, dy = rows_of(names, run.draws)

        def rates(t, flat):
            y_block[:] = flat.reshape(y_block.shape)
            left, plants = seen(run.sub, begin * np.exp(-rate * t), p.per_l)
            run.body.rates(y, SimpleNamespace(filter=left, plants=plants), p, run.th, dy, dy_block)
            return dy_block.ravel().copy()

        times = np.linspace(0, step.hours, max(2, round(step.hours / LOOK_H)))
        done = solve_ivp(
            rates, (0, step.hours), self.block.ravel(), method="DOP853", rtol=1e-11, atol=1e-10, t_eval=times
        )
        assert done.success
        for fields in done.y.T:
            self.look(fields.reshape(self.block.shape), temp_c)
        self.block[:] = done.y[:, -1].reshape(self.block.shape)
        self.amounts = begin * np.exp(-rate * step.hours)


def solve(run):
    """Fields and amounts at the end of each hour, and the one who went through."""
    water, kept = Solved(run), []
    for n, minute in enumerate(run.table.edges):
        for timed in run.table.before.get(n, ()):
            water.happens(timed.what)
        if minute % 60 == 0:
            kept.append((water.block.copy(), water.amounts.copy()))
        if n < len(run.table.steps):
            water.advance(run.table.steps[n])
    return water, np.array([block for block, _ in kept]), np.array([amounts for _, amounts in kept])
