"""The processes in plain NumPy over all draws at once: what every faster form has to agree with.

Classical Runge-Kutta of order 4 on the table of steps, substances exact. Nothing is reduced over draws here.
"""

from __future__ import annotations

from collections.abc import Hashable
from types import SimpleNamespace
from typing import Any

import msgspec
import numpy as np
from numpy.typing import NDArray

from tankward.room.acts import Dose

from .compose import Body
from .events import Added, Held, NewWater, as_draws
from .integrate import Pull, ahead, arrived, pull
from .processes.substances import gone, loss_rates, seen
from .rows import Array, Rows, rows_of
from .standing import Rules, Standing
from .table import Step, Table
from .warmth import COARSE_SNAP_C, SNAP_C, after, mixed, target
from .water_line import WaterLine

DAY_H = 24.0
A_LITTLE_MG_L = 1e-5


class Run(msgspec.Struct, frozen=True):
    """Everything that a run reads: the body, the numbers of each draw, substances by row, the table."""

    body: Body
    th: Rows
    substances: tuple[str, ...]
    sub: Rows
    table: Table
    rules: Rules
    draws: int
    start: dict[str, Array]  # fields of the state, at the beginning
    start_temp_c: Array
    start_amounts: Array  # substances × draws [in each one's unit × L]
    line: WaterLine | None = None  # None: taken as kept
    met: tuple[str, ...] = ()  # met by the filter before the beginning
    records: frozenset[int] = frozenset()  # minutes to record, besides those at which something happens
    kept: NDArray[np.intp] | None = None  # which of so many draws these are; None: the first
    of: int = 0
    made: Hashable = None  # by which its substances are known to whoever keeps what holds of them
    coarse: bool = False  # steps as long as the method is stable

    @property
    def drawn_of(self) -> int:
        """How many numbers of a column to take."""
        return self.draws if self.kept is None else self.of


class Trace(msgspec.Struct, frozen=True):
    """What was recorded: minutes (twice where something happened: before, after), fields by name,
    substances.
    """

    minutes: tuple[int, ...]
    fields: dict[str, Array]  # minutes × draws
    amounts: Array  # minutes × substances × draws
    temp_c: Array  # minutes × draws
    lowest: dict[str, float]  # least value that any field took


class Water:
    """The state of a run while it goes on."""

    def __init__(self, run: Run) -> None:
        names, draws = run.body.state, run.draws
        self.run = run
        self.block, self.y = rows_of(names, draws)
        self.stages = [rows_of(names, draws) for _ in range(4)]
        for name, value in run.start.items():
            getattr(self.y, name)[:] = value
        self.temp_c = as_draws(run.start_temp_c, draws).copy()
        self.amounts = run.start_amounts.copy()
        self.lowest = self.block.min(axis=1)
        self.left, self.per_l = np.ones(draws), run.th.per_l
        self.nothing = SimpleNamespace(filter=np.ones(draws), plants=np.ones(draws))
        self.pace_at: Array | None = None
        self.p: Rows = None
        self.lost_at: Array | None = None
        self.lost: tuple[float, tuple[tuple[Array, Array], ...]] = (0.0, ())
        self.pulled: tuple[object, tuple[Pull, ...]] = (None, ())
        self.kept: list[tuple[int, Array, Array, Array]] = []
        self.phase: tuple[int, Array] | None = None  # since when it warms or cools, and from where

    def record(self, minute: int) -> None:
        """Keep a copy of everything."""
        self.kept.append((minute, self.block.copy(), self.amounts.copy(), self.temp_c.copy()))

    def happens(self, what: Any) -> None:
        """An act or an event at an instant."""
        self.phase = None
        if isinstance(what, Dose):
            for event in self._added(what):
                self.happens(event)
        elif isinstance(what, Held):
            self._held(what)
        else:
            if isinstance(what, NewWater):
                warm = self.temp_c if what.temp_c is None else as_draws(what.temp_c, self.run.draws)
                what = msgspec.structs.replace(what, temp_c=warm)
            self.run.body.happens(self.y, what, self.run.th)
            self._substances(what)

    def _held(self, what: Held) -> None:
        """A reading: each draw goes on from what is made of its own level."""
        row = getattr(self.y, what.field) if what.field else None
        if row is None and what.quantity in self.run.substances:
            row = self.amounts[self.run.substances.index(what.quantity)]
        if row is not None:
            row[:] = what.taken(row / what.volume_l) * what.volume_l

    def _added(self, dose: Dose) -> list[Added]:
        known, needs = self.run.substances, self.run.sub.oxygen_per_unit_l
        rows = [(known.index(s), amount) for s, amount in dose.actives.items() if s in known]
        return [Added(row=n, amount_mg=amount, oxygen_mg=amount * needs[n]) for n, amount in rows]

    def _substances(self, what: Any) -> None:
        if isinstance(what, NewWater):
            self.amounts *= 1.0 - what.share
            self.temp_c = mixed(self.temp_c, what.temp_c, what.mixed)
        elif isinstance(what, Added):
            self.amounts[what.row] += what.amount_mg

    def environment(self, step: Step, temp_c: Array) -> Rows:
        """What the processes are told of the tank as it stands."""
        th, standing = self.run.th, step.standing
        ration = th.ration_mg_h * standing.stock
        food = ration * standing.feed if standing.food_g is None else standing.food_g * 1000.0 / DAY_H
        return SimpleNamespace(
            temp_c=temp_c,
            lit=step.lit,
            more_air=standing.more_air,
            flows=standing.flows,
            powered=standing.off != "all",
            stock=standing.stock,
            ration_mg_h=ration,
            food_mg_h=as_draws(food, self.run.draws),
            left=self.left_at(step),
        )

    def left_at(self, step: Step) -> Array:
        """Water there is in a step, against the full tank. [-]"""
        line = self.run.line
        return np.ones(self.run.draws) if line is None else line.share(step.asked)

    def pace(self, step: Step, temp_c: Array, fresh: bool) -> Rows:
        """Worked out again only when the environment has changed."""
        if fresh or self.pace_at is not temp_c:
            self.p = self.run.body.pace(self.environment(step, temp_c), self.run.th, self.run.draws)
            self.pace_at = temp_c
        return self.p

    def advance(self, step: Step) -> None:
        """One step: warmth and substances exact, the rest by Runge-Kutta."""
        h, th = step.hours, self.run.th
        t0 = tm = t1 = self.temp_c
        if step.new:
            self.left = self.left_at(step)
            self.per_l = th.per_l / self.left
            self.phase = None
        if not np.array_equal(t0, target(th, step.standing)):
            found = self.warming(step, t0, np.array([step.minute]), np.array([h]))
            tm, t1 = (temps[0] for temps in found)
        xs = self._advance_substances(step, (t0, tm, t1))
        if self.run.body.state:
            p0 = self.pace(step, t0, step.new)
            pm = self.pace(step, tm, tm is not t0)
            p1 = self.pace(step, t1, t1 is not t0)
            self._integrate(h, (p0, pm, p1), xs)
            self.lowest = np.minimum(self.lowest, self.block.min(axis=1))
        self.temp_c = t1

    def warming(
        self, step: Step, warm: Array, minutes: NDArray[np.int64], hours: Array
    ) -> tuple[Array, Array]:
        """Warmth in the middle and at the end of steps in which nothing is set otherwise: steps × draws.

        It goes by closed form from where something was set last, however many steps there are.
        """
        if self.phase is None:
            self.phase = int(minutes[0]), warm
        begin, temp_c = self.phase
        since, left = (minutes - begin) / 60.0, self.left_at(step)
        snap_c = COARSE_SNAP_C if self.run.coarse else SNAP_C
        middle, end = (
            after(temp_c, self.run.th, step.standing, (since + part)[:, None], left, snap_c)
            for part in (hours / 2, hours)
        )
        return middle, end

    def _integrate(self, h: float, p: tuple[Rows, Rows, Rows], x: tuple[Rows, Rows, Rows]) -> None:
        start, k = self.block.copy(), [block for block, _ in self.stages]
        pulls: tuple[Pull, ...] = ()
        for stage, at in enumerate((0, 1, 1, 2)):
            if stage:
                ahead(self.block, start, k, h, stage, pulls)
            self.run.body.rates(self.y, x[at], p[at], self.run.th, self.stages[stage][1], k[stage])
            pulls = pulls or self._pulls(p, x, h)
        self.block[:] = arrived(start, k, h, pulls, self.block)

    def _pulls(self, p: tuple[Rows, Rows, Rows], x: tuple[Rows, Rows, Rows], h: float) -> tuple[Pull, ...]:
        """Kept for as long as rates and step stay the same."""
        stiff = self.run.body.stiff
        rates = [(one[0], self._scarce(one, p[0], getattr(p[1], one[1]), x[0], h)) for one in stiff]
        key = (h, *(rate.tobytes() for _, rate in rates))
        if self.pulled[0] != key:
            self.pulled = (key, tuple(pull(row, rate, h) for row, rate in rates))
        return self.pulled[1]

    def _scarce(self, stiff: tuple[int, str, float], p: Rows, rate: Array, x: Rows, h: float) -> Array:
        """Where a field runs out, its own sinks pull it down as steeply as they do near nothing."""
        row, _, scarce_mg_l = stiff
        held = self.block[row].copy()
        falling = np.minimum(self.stages[0][0][row], 0.0) * h
        low = (held + falling) * p.per_l < scarce_mg_l
        if not low.any():
            return rate
        little = A_LITTLE_MG_L * p.volume_l
        asked = []
        for amount, (block, dy) in ((0.0, self.stages[1]), (little, self.stages[2])):
            self.block[row] = amount
            self.run.body.rates(self.y, x, p, self.run.th, dy, block)
            asked.append(block[row])
        self.block[row] = held
        steep = (asked[0] - asked[1]) / little
        return np.where(low, np.maximum(steep, rate), rate)

    def _advance_substances(self, step: Step, temps: tuple[Array, Array, Array]) -> tuple[Rows, Rows, Rows]:
        if not self.run.substances:
            return self.nothing, self.nothing, self.nothing
        x0 = self._seen()
        halves = self.losses(step, temps)
        inflow = self.inflow(step)
        out = [x0]
        for left, counts in halves:
            self.amounts = self.amounts * left + inflow * counts
            out.append(self._seen())
        return out[0], out[1], out[2]

    def _seen(self) -> Rows:
        if not self.run.body.state:
            return self.nothing  # there is nobody to see it
        left, plants = seen(self.run.sub, self.amounts, self.per_l)
        return SimpleNamespace(filter=left, plants=plants)

    def losses(self, step: Step, temps: tuple[Array, Array, Array]) -> tuple[tuple[Array, Array], ...]:
        h = step.hours
        if not step.new and self.lost_at is temps[2] and self.lost[0] == h:
            return self.lost[1]
        if temps[2] is not temps[0]:
            return self.losing(step, temps, h)
        half = gone(self._losing(step, temps[0]), h / 2)
        self.lost_at, self.lost = temps[0], (h, (half, half))
        return half, half

    def losing(
        self, step: Step, temps: tuple[Array, Array, Array], hours: Array | float
    ) -> tuple[tuple[Array, Array], tuple[Array, Array]]:
        """Of steps in which the warmth changes: … × draws in, … × substances × draws out."""
        k0, km, k1 = (self._losing(step, temp_c) for temp_c in temps)
        # The parabola through start, middle and end, integrated over each half.
        first, second = (5 * k0 + 8 * km - k1) / 12, (-k0 + 8 * km + 5 * k1) / 12
        return gone(first, hours / 2), gone(second, hours / 2)

    def lost_in(self, step: Step, temp_c: Array, hours: Array) -> tuple[Array, Array]:
        """Of steps in which the warmth is taken as one: … × draws in, … × substances × draws out."""
        return gone(self._losing(step, temp_c), hours)

    def _losing(self, step: Step, temp_c: Array) -> Array:
        """Rate at which each substance goes. [1/h]"""
        run, used = self.run, np.array(self.used(step.standing), dtype=bool)
        light = run.th.light_scale * step.lit
        return loss_rates(run.sub, temp_c[..., None, :], light=light, carbon=step.carbon, used=used)

    def used(self, standing: Standing) -> tuple[bool, ...]:
        """For each substance whether the filter met it before."""
        run = self.run
        return tuple(s in run.met or standing.met(s, run.rules) for s in run.substances)

    def inflow(self, step: Step) -> Array | float:
        """What leaches from medicated food that is not eaten. [units × L / h]"""
        strengths = step.standing.medicated
        if not strengths:
            return 0.0
        food_g_h = self.environment(step, self.temp_c).food_mg_h / 1000.0 * self.run.th.uneaten
        rows = [strengths.get(s, 0.0) * food_g_h for s in self.run.substances]
        return np.array(rows)


def trace(run: Run) -> Trace:
    """Run the table from beginning to end."""
    water = Water(run)
    for n, minute in enumerate(run.table.edges):
        happening = run.table.before.get(n, ())
        if happening or minute in run.records:
            water.record(minute)
        for timed in happening:
            water.happens(timed.what)
        if happening:
            water.record(minute)
        if n < len(run.table.steps):
            water.advance(run.table.steps[n])
    return gathered(run, water)


def gathered(run: Run, water: Water) -> Trace:
    names = run.body.state
    blocks = np.array([block for _, block, _, _ in water.kept])
    return Trace(
        minutes=tuple(minute for minute, *_ in water.kept),
        fields={name: blocks[:, row] for row, name in enumerate(names)},
        amounts=np.array([amounts for _, _, amounts, _ in water.kept]),
        temp_c=np.array([temp_c for *_, temp_c in water.kept]),
        lowest=dict(zip(names, water.lowest.tolist(), strict=True)),
    )
