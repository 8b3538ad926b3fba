"""Life cycles on fish: a free stage, an egg pool, a carrier, birth and death on the host, a ceiling.

The fish are one row; they die of what they carry, and a corpse left in sheds. Settling stops at the ceiling.
"""

from __future__ import annotations

import numpy as np

from tankward.knowledge import rules
from tankward.knowledge.records.organism import ReferenceState as State
from tankward.knowledge.records.organism import Stage
from tankward.model.rows import Array

from .bearing import at_an_age, bears_at_an_age
from .common import HOURS, chain, deaths, on_fish, stages, warm_death
from .numbers import Numbers, breeding
from .settling import carried, settles
from .tables import Around, Gathering, Herd, Pace, Table, Value, fixed

LN2 = 0.6931471805599453


def on_hosts(n: Numbers, herd: Herd, state: State) -> tuple[Gathering, Table]:
    """Every life that needs fish and is counted in parasites."""
    g = Gathering(herd)
    stages(g, n)
    fish = g.row("fish", "host", germ=False)
    g.row("lost", "count", germ=False)
    corpse = g.row("corpse", "corpse")
    hosted = [row for stage in n.organism.stage if on_fish(stage) for row in g.of_stage(stage.id)]
    burden = g.view((row, fixed(1.0)) for row in hosted)
    grams = g.view([(fish, fixed(herd.fish_g))])
    alive = g.view([(fish, fixed(1.0))])
    deaths(g, n)
    warm_death(g, n)
    crowd = g.modifier(burden, grams, fixed(1.0), fixed(-1.0 / n.of("capacity")))
    meet = g.modifier(alive, 0, fixed(0.0), fixed(1.0))
    for stage in n.organism.stage:
        _goes_on(g, n, stage, state, crowd, meet)
    _bears(g, n, crowd)
    if n.organism.structure == "logistic":
        _grows(g, n, n.organism.stage[0], burden, grams)
    _sheds(g, n)
    young = n.of("corpse_fecundity", _from(n)) if n.has("corpse_fecundity", _from(n)) else 1.0
    into = g.of_stage(n.organism.corpse_to)[0]
    g.flow(corpse, into, fixed(HOURS / n.of("corpse_hours")), give=fixed(young))
    return g, g.table(burden=burden, grams=grams, harms=True)


def _from(n: Numbers) -> str:
    return n.organism.births.from_ if n.organism.births else ""


def _goes_on(g: Gathering, n: Numbers, stage: Stage, state: State, crowd: int, meet: int) -> None:
    rows = g.of_stage(stage.id)
    if stage.by == "time":
        clutch = _clutch(n, stage)
        dark = on_fish(stage) and n.has("dark_factor")
        last, rate = chain(g, n, stage, dark)
        g.flow(last, g.of_stage(stage.next)[0], rate, give=clutch, litter=clutch is not None)
    elif stage.by == "attach":
        share = settles(n, stage, state)
        reach = n.of("attach", stage.id) * HOURS * g.herd.g_l
        g.flow(
            rows[-1], g.of_stage(stage.next)[0], fixed(reach), give=_within(n, share),
            blocked=True, taken=meet, given=crowd,
        )  # fmt: skip
    if n.has("carrier_take", stage.id):
        to = stage.next if stage.by == "carrier" else carried(n.organism)
        take = n.of("carrier_take", stage.id) * HOURS * carriers(n)
        g.flow(rows[-1], g.of_stage(to)[0], fixed(take))


def carriers(n: Numbers) -> Array:
    """1 in the draws in which there are copepods. [-]"""

    return np.where(n.of("carrier_present") > 1.0 - rules.figure("unknown_copepods"), 1.0, 0.0)


def _clutch(n: Numbers, stage: Stage) -> Pace | None:
    born = n.organism.births
    if born is None or born.by != "clutch" or born.from_ != stage.id:
        return None
    return _within(n, n.of("fecundity", stage.id))


def _within(n: Numbers, value: Value) -> Pace:
    """Only inside its temperatures."""
    return lambda e: value * breeding(n, e.temp_c)


def _bears(g: Gathering, n: Numbers, crowd: int) -> None:
    """Young at a rate; or, on the fish itself, at an age: resistant fish let fewer of those through."""
    born = n.organism.births
    if born is None or born.by != "rate":
        return
    into = g.of_stage(born.into)[0]
    if at_an_age(n, born.from_):
        each = next(s.rows for s in n.organism.stage if s.id == born.from_)
        bears_at_an_age(g, n, born.from_, into, crowd, each)
        return
    for row in g.of_stage(born.from_):
        g.flow(row, into, _laying(n, born.from_), lose=False)


def _laying(n: Numbers, stage: str) -> Pace:
    return lambda e: n.of("births", stage, e.temp_c) * breeding(n, e.temp_c)


def _grows(g: Gathering, n: Numbers, stage: Stage, burden: int, grams: int) -> None:
    """Growth that stress makes faster, to a ceiling that load raises; what dies naturally is born again."""
    row = g.of_stage(stage.id)[0]

    def grown(e: Around) -> Value:
        fast = LN2 * HOURS / n.of("doubling", stage.id, e.temp_c) * n.of("stress_factor") ** e.stress
        return fast * breeding(n, e.temp_c)

    def ceiling(e: Around) -> Value:
        return -1.0 / (n.of("capacity") * n.of("stress_capacity") ** e.stress)

    full = g.modifier(burden, grams, fixed(1.0), ceiling)
    g.flow(row, row, grown, lose=False, blocked=True, given=full)
    g.flow(row, row, lambda e: n.of("natural", stage.id, e.temp_c), lose=False)


def _sheds(g: Gathering, n: Numbers) -> None:
    """What leaves a living fish goes to the stage outside it."""
    outside = [s for s in n.organism.stage if not on_fish(s)]
    for name in ("shed", "detach"):
        for stage in n.organism.stage:
            if n.has(name, stage.id) and outside:
                into = g.of_stage(outside[0].id)[0]
                leaving = g.of_stage(stage.id) if name == "detach" else g.of_stage(stage.id)[-1:]
                for row in leaving:
                    g.flow(row, into, fixed(n.of(name, stage.id)))


def free_living(n: Numbers, herd: Herd) -> tuple[Gathering, Table]:
    """Animals that need no fish: they grow to what the tank feeds, a share through cocoons."""
    g = Gathering(herd)
    stages(g, n)
    animal, cocoon = n.organism.stage[0], n.organism.stage[1]
    row, first = g.of_stage(animal.id)[0], g.of_stage(cocoon.id)[0]
    count = g.view([(row, fixed(1.0))])
    litres = g.view([(0, fixed(herd.volume_l))])
    deaths(g, n)
    warm_death(g, n)
    last, rate = chain(g, n, cocoon)
    g.flow(last, row, rate)

    def grown(e: Around) -> Value:
        fast = LN2 * HOURS / n.of("doubling", animal.id, e.temp_c)
        return fast * breeding(n, e.temp_c) * n.of("stress_factor") ** e.stress

    def ceiling(e: Around) -> Value:
        return -1.0 / (n.of("capacity") * n.of("stress_capacity") ** e.stress)

    full = g.modifier(count, litres, fixed(1.0), ceiling)
    through = n.of("cocoon_share")
    g.flow(row, row, grown, give=fixed(1.0 - through), lose=False, given=full)
    g.flow(row, first, grown, give=fixed(through), lose=False, given=full)
    g.flow(row, row, lambda e: n.of("natural", animal.id, e.temp_c), lose=False)
    return g, g.table(burden=0, grams=0, harms=False)
