"""The drawn numbers of one organism: each has one share of its distribution, whatever the temperature."""

from __future__ import annotations

import numpy as np

from tankward.knowledge import rules
from tankward.knowledge.records.organism import Organism
from tankward.knowledge.temperature import ByTemperature, parameters
from tankward.model.rows import Array

from .columns import shares

SIDES = {"siphon_bare": "siphon", "siphon_gravel": "siphon"}  # the same siphon, over two floors
FIRST = frozenset({"days", "natural"})  # counted over all stages
COUNTED = frozenset({"wash", "filter_take", "siphon", "attach", "on_fish_share"})  # even where there is one
Warm = Array | float


class Numbers:
    """What the facts say of an organism, drawn."""

    def __init__(self, organism: Organism, draws: int) -> None:
        self.organism = organism
        self.draws = draws
        self.rows: dict[tuple[str, str], ByTemperature] = {
            (name, stage): row for (name, stage, sign), row in parameters(organism).items() if not sign
        }
        self._fixed: dict[tuple[str, str], Array] = {}
        self._q10 = self.of("q10")

    def has(self, name: str, stage: str = "") -> bool:
        """Whether the facts hold it."""
        return (name, stage) in self.rows

    def of(self, name: str, stage: str = "", temp_c: Warm = 0.0) -> Array:
        """A number at this temperature, one for each draw. [unit of the fact]"""
        row = self.rows[name, stage]
        if row.temp_c:
            return self._drawn(name, stage, temp_c)
        if (name, stage) not in self._fixed:
            self._fixed[name, stage] = self._drawn(name, stage, 0.0)
        return self._fixed[name, stage]

    def _drawn(self, name: str, stage: str, temp_c: Warm) -> Array:
        row = self.rows[name, stage]
        q10 = 1.0 if name == "q10" or len(row.temp_c) != 1 else self._q10
        drawn = row.draw(shares(self.column(name, stage), self.draws), temp_c, q10)
        return np.asarray(np.broadcast_to(drawn, np.broadcast_shapes(np.shape(drawn), (self.draws,))))

    def column(self, name: str, stage: str) -> str:
        """Under which name its share is drawn."""
        name_there = SIDES.get(name, name)
        if not stage:
            return name_there
        stages = [s.id for s in self.organism.stage]
        if name not in FIRST:
            stages = [s for s in stages if (name, s) in self.rows]
        if len(stages) == 1 and name_there not in (
            "wash",
            "filter_take",
            "siphon",
            "attach",
            "on_fish_share",
        ):
            return name_there
        return f"{name_there}.{stages.index(stage) + 1}"


def ramp(temp_c: Warm, at: Array) -> Array:
    """From 0 to 1 over the transition around a limit."""
    wide = rules.figure("transition")
    return np.asarray(np.clip((temp_c - at) / wide + 0.5, 0.0, 1.0))


def active(n: Numbers, temp_c: Warm) -> Array:
    """1 where stages go on, 0 where it is too cold for them. [-]"""
    return ramp(temp_c, n.of("temp_low"))


def breeding(n: Numbers, temp_c: Warm) -> Array:
    """1 where it is born, grows and settles, 0 outside its temperatures. [-]"""
    return active(n, temp_c) * (1.0 - ramp(temp_c, n.of("temp_high")))


def ageing(n: Numbers, stage: str, rows: int, temp_c: Warm) -> Array:
    """Rate at which each row of a stage goes on; below its temperatures it stands still. [1/d]"""
    on = active(n, temp_c)
    return rows * (on / n.of("days", stage, temp_c) + (1.0 - on) / rules.figure("stand_still"))
