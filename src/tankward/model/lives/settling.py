"""How many of those that reach a fish settle: never drawn, worked out from what one parasite brings forth.

share = min(1, reproduction / literal), literal = output of one × survival of every stage on the way × chance
to reach a host, all of one draw at the reference state of the facts (memory).
"""

from __future__ import annotations

import numpy as np

from tankward.knowledge.records.organism import Organism, Stage
from tankward.knowledge.records.organism import ReferenceState as State
from tankward.model.rows import Array

from .common import HOURS
from .numbers import Numbers


def literal(n: Numbers, state: State) -> Array:
    """Young of one that reach a fish, once round the cycle, if each that arrives settled. [-]"""
    born = n.organism.births
    if born is None:
        return np.ones(n.draws)
    through = np.ones(n.draws)
    by_id = {stage.id: stage for stage in n.organism.stage}
    stage = by_id[born.into]
    while True:
        through = through * _lives_through(n, stage, state, stage.id == born.from_)
        if stage.id == born.from_ or not stage.next:
            return through
        stage = by_id[stage.next]


def _lives_through(n: Numbers, stage: Stage, state: State, last: bool) -> Array:
    lost = n.of("natural", stage.id, state.temp_c)
    if last and n.has("births", stage.id):
        return n.of("births", stage.id, state.temp_c) / lost
    if stage.by == "attach":
        found = n.of("attach", stage.id) * HOURS * state.fish_g_l
        return found / (found + lost)
    if stage.by == "carrier":
        taken = n.of("carrier_take", stage.id) * HOURS
        return taken / (taken + lost)
    on = stage.rows / n.of("days", stage.id, state.temp_c)
    young = n.of("fecundity", stage.id) if last else 1.0
    return np.asarray((on / (on + lost)) ** stage.rows * young)


def settles(n: Numbers, stage: Stage, state: State) -> Array:
    """Share of the arrivals of a stage that settle, in naive fish. [-]"""
    if not n.has("reproduction"):
        return np.ones(n.draws)
    share = n.of("reproduction") / literal(n, state)
    if not n.has("direct_share"):
        return np.minimum(share, 1.0)
    direct = n.of("direct_share")
    if stage.place == "carrier":
        return np.minimum(share / np.where(direct > 0, direct, 1.0), 1.0)
    return np.where(direct > 0, np.minimum(share, 1.0), 0.0)


def carried(organism: Organism) -> str:
    """The first stage that lives in a carrier; "" without one."""
    return next((stage.id for stage in organism.stage if stage.place == "carrier"), "")
