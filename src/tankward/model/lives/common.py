"""What all kinds of life share: rows of stages, ageing, natural death, what a filter catches, the fish."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from tankward.knowledge.records.organism import Stage

from .bearing import at_an_age, rows_of
from .numbers import Numbers, ageing, ramp
from .tables import HOSTED, Around, Gathering, Pace, Value, fixed

HOURS = 24.0


def stages(g: Gathering, n: Numbers, heals: int = 0) -> None:
    """Rows of every stage, one after the other."""
    for stage in n.organism.stage:
        for number in range(rows_of(n, stage.id, stage.rows)):
            g.row(f"{stage.id} {number + 1}", stage.place, stage=stage.id, heals=heals)


def deaths(g: Gathering, n: Numbers) -> None:
    """Natural death, and what the filter takes of those in the water. [1/d]"""
    for stage in n.organism.stage:
        rows = g.of_stage(stage.id)
        if not at_an_age(n, stage.id):
            g.dies(rows, natural(n, stage.id))
        if stage.place == "water":
            g.dies(rows, fixed(g.herd.turnover_1_d * n.of("filter_take", stage.id)))


def natural(n: Numbers, stage: str) -> Pace:
    """Natural rate of death. [1/d]"""
    return lambda e: n.of("natural", stage, e.temp_c)


def chain(g: Gathering, n: Numbers, stage: Stage, dark: bool = False) -> tuple[int, Pace]:
    """The rows of a stage one into the next; the last row and the rate at which it is left."""
    rows = g.of_stage(stage.id)
    longer = n.of("dark_factor") if dark else None

    def rate(e: Around) -> Value:
        on = ageing(n, stage.id, stage.rows, e.temp_c)
        return on if longer is None else on / np.where(e.dark, longer, 1.0)

    for here, there in pairwise(rows):
        g.flow(here, there, rate)
    return rows[-1], rate


def on_fish(stage: Stage) -> bool:
    """Whether it sits on or in a fish."""
    return stage.place in HOSTED


def warm_death(g: Gathering, n: Numbers) -> None:
    """Above its temperatures, what is on or in the fish dies faster. [1/d]"""
    high, hot = n.of("temp_high"), n.of("hot_kill")
    for stage in n.organism.stage:
        if on_fish(stage) or n.organism.host == "none":
            g.dies(g.of_stage(stage.id), lambda e: hot * ramp(e.temp_c, high))
