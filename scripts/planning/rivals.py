"""What the planner is held against: a general optimiser, and planners that are bad on purpose."""

from __future__ import annotations

import numpy as np
from msgspec.structs import replace
from pymoo.algorithms.moo.nsga2 import NSGA2
from pymoo.core.evaluator import Evaluator
from pymoo.core.population import Population
from pymoo.core.problem import Problem as PymooProblem
from pymoo.operators.crossover.sbx import SBX
from pymoo.operators.mutation.pm import PM
from pymoo.operators.repair.rounding import RoundingRepair
from pymoo.operators.sampling.rnd import IntegerRandomSampling
from pymoo.problems.static import StaticProblem

from tankward.model.rows import Array
from tankward.treat.planner.front import measures, unbeaten
from tankward.treat.planner.records import Point, Score
from tankward.treat.planner.search import Budget, search

from .measure import NAMES
from .problems import SCREENED, Key, Ready

POPULATION = 40
GENERATIONS = 400
WORST = 1e3


class Axes:
    """The same axes as integers: which way, then a value of each axis, counted round where one has fewer."""

    def __init__(self, ready: Ready) -> None:
        self.ready = ready
        self.wide = max(len(way.axes) for way in ready.ways)
        most = [max(len(w.axes[k]) for w in ready.ways if k < len(w.axes)) for k in range(self.wide)]
        top = np.array([len(ready.ways), *most]) - 1
        self.bounds = PymooProblem(
            n_var=top.size, n_obj=len(NAMES), n_ieq_constr=1, xl=np.zeros_like(top), xu=top, vtype=int
        )

    def key(self, row: Array) -> Key:
        """Which point a row of numbers is."""
        way = int(row[0])
        axes = self.ready.ways[way].axes
        return way, tuple(int(v) % len(axis) for v, axis in zip(row[1:], axes, strict=False))

    def row(self, key: Key) -> Array:
        """And back."""
        way, point = key
        return np.array([way, *point] + [0] * (self.wide - len(point)))


def optimised(ready: Ready, simulated: int, seed: int) -> list[Score]:
    """NSGA-II until so many different points were simulated; all of them.

    It is told the published courses, may pass over what cannot be laid out at no cost, and the chance by
    which a line is passed too often is its constraint, handled its usual way (feasible before infeasible).
    """
    axes = Axes(ready)
    found: dict[Key, Score] = {}
    algorithm = NSGA2(
        pop_size=POPULATION, sampling=IntegerRandomSampling(), eliminate_duplicates=True,
        crossover=SBX(prob=0.9, eta=3.0, vtype=float, repair=RoundingRepair()),
        mutation=PM(prob=0.9, eta=3.0, vtype=float, repair=RoundingRepair()),
    )  # fmt: skip
    algorithm.setup(axes.bounds, termination=("n_gen", GENERATIONS), seed=seed)
    first = True
    while algorithm.has_next() and len(found) < simulated:
        asked = algorithm.ask()
        rows = asked.get("X")
        if first:
            usual = [axes.row((n, way.published)) for n, way in enumerate(ready.ways)]
            rows[: len(usual)] = usual
            asked = Population.new("X", rows)
            first = False
        keys = [axes.key(row) for row in rows]
        open_ = set(ready.laid_out(list(dict.fromkeys(keys))))
        for key in keys:
            if key in open_ and len(found) < simulated:
                found[key] = ready.score(*key)
        told = [_told(found.get(key)) for key in keys]
        static = StaticProblem(
            axes.bounds, F=np.array([f for f, _ in told]), G=np.array([[g] for _, g in told])
        )
        Evaluator().eval(static, asked)
        algorithm.tell(infills=asked)
    return list(found.values())


def _told(score: Score | None) -> tuple[list[float], float]:
    if score is None:
        return [WORST] * len(NAMES), WORST
    return list(measures(score)[: len(NAMES)]), max(line.chance - line.most for line in score.lines)


def at_random(ready: Ready, simulated: int, seed: int) -> list[Score]:
    """A bad planner: any points that can be laid out."""
    rng = np.random.default_rng(seed)
    keys: dict[Key, None] = {}
    while len(keys) < simulated:
        way = int(rng.integers(len(ready.ways)))
        rows = [tuple(int(rng.integers(len(axis))) for axis in ready.ways[way].axes) for _ in range(64)]
        keys |= dict.fromkeys(ready.laid_out([(way, row) for row in rows])[:8])
    return [ready.score(*key) for key in list(keys)[:simulated]]


def careless(ready: Ready, simulated: int) -> list[Score]:
    """A bad planner: the same search, which takes no line for passed; what its courses are in truth."""

    def blind(way: int, point: Point) -> Score:
        score = ready.score(way, point)
        return replace(score, lines=tuple(replace(line, most=1.0) for line in score.lines))

    found = search(
        ready.ways, blind, ready.weights, ready.by, ready.wishes, budget=Budget(SCREENED, simulated, 0)
    ).found
    believed = [f.score for f in found]
    rows = np.array([measures(s)[: len(NAMES)] for s in believed])
    return [ready.score(f.way, f.point) for f, kept in zip(found, unbeaten(rows), strict=True) if kept]
