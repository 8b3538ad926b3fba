"""Lives that are counted in fish: a reservoir that invades the weak, and the slow illness that passes from
fish to fish. The pool outside is counted in what one ill fish sheds.
"""

from __future__ import annotations

import numpy as np

from tankward.model.rows import Array

from .common import HOURS, chain, deaths
from .numbers import Numbers, breeding
from .tables import Around, Gathering, Herd, Pace, Table, Value, fixed


def reservoir(n: Numbers, herd: Herd) -> tuple[Gathering, Table]:
    """A germ that lives in the tank anyway and breaks into fish that are stressed."""
    g, fish = _fish(n, herd, "healthy")
    lesion, deep, pool = n.organism.stage[1], n.organism.stage[2], n.organism.stage[0]
    pool_row = g.of_stage(pool.id)[0]
    lesions, deeps = g.of_stage(lesion.id), g.of_stage(deep.id)
    spared = g.row("spared", "host", germ=False)
    lost, corpse = g.row("lost", "count", germ=False), g.row("corpse", "corpse")
    alive = g.view((row, fixed(1.0)) for row in (fish, spared, *lesions, *deeps))
    pools = g.view([(pool_row, fixed(1.0))])
    stress = n.of("stress_factor")

    def push(e: Around) -> Value:
        return shape(n, e.temp_c) * stress**e.stress

    def spread(e: Around) -> Value:
        return push(e) * n.of("reproduction") / n.of("days", lesion.id, e.temp_c)

    hazard = g.modifier(pools, alive, lambda e: push(e) * n.of("invade"), spread)
    g.flow(fish, lesions[0], fixed(1.0), taken=hazard)
    g.flow(spared, lesions[0], fixed(n.of("resist_block")), taken=hazard)
    last, rate = chain(g, n, lesion)
    share = n.of("deep_share")
    g.flow(last, deeps[0], _part(rate, share))
    _recovers(g, n, last, _part(rate, 1.0 - share), fish, spared)
    last, rate = chain(g, n, deep)
    dies = n.of("deep_death")
    g.flow(last, corpse, _part(rate, dies))
    g.flow(last, lost, _part(rate, dies), lose=False)
    _recovers(g, n, last, _part(rate, 1.0 - dies), fish, spared)
    _pool(g, n, pool.id, pool_row, [*lesions, *deeps], 1.0)
    g.flow(corpse, pool_row, _part(_turning(n, pool.id), n.of("corpse_factor")), lose=False)
    _ends(g, n, corpse, spared, fish)
    return g, g.table(burden=0, grams=0, harms=False)


def slow(n: Numbers, herd: Herd) -> tuple[Gathering, Table]:
    """Naive, latent, ill, dead or carrier; by contact, by corpses, by what lies in the tank.

    Each route counts for its share of `reproduction`: what an ill fish does over its illness, a corpse over
    the days that it lies, the pool over its own turnover.
    """
    g, fish = _fish(n, herd, "naive")
    latent, ill, carrier, pool = n.organism.stage
    pool_row, carrier_row = g.of_stage(pool.id)[0], g.of_stage(carrier.id)[0]
    latents, ills = g.of_stage(latent.id), g.of_stage(ill.id)
    spared = g.row("spared", "host", germ=False)
    lost, corpse = g.row("lost", "count", germ=False), g.row("corpse", "corpse")
    alive = g.view((row, fixed(1.0)) for row in (fish, spared, *latents, *ills, carrier_row))
    routes = [n.of(f"route_{way}") for way in ("contact", "corpse", "pool")]
    contact, dead, water = (route / sum(routes) for route in routes)
    quiet = n.of("carrier_infectious")
    corpse_d = n.of("corpse_hours") / HOURS
    seen: list[tuple[int, Pace]] = [(row, fixed(contact)) for row in ills]
    seen.append((carrier_row, fixed(contact * quiet)))
    seen.append((corpse, lambda e: dead * n.of("days", ill.id, e.temp_c) / corpse_d))
    seen.append((pool_row, fixed(water)))
    infectious = g.view(seen)

    def spread(e: Around) -> Value:
        each = n.of("reproduction") / n.of("days", ill.id, e.temp_c)
        return each * n.of("stress_factor") ** e.stress * breeding(n, e.temp_c)

    force = g.modifier(
        infectious, alive, lambda e: n.of("background") * breeding(n, e.temp_c), spread
    )  # fmt: skip
    g.flow(fish, latents[0], fixed(1.0), taken=force)
    g.flow(spared, latents[0], fixed(n.of("resist_block")), taken=force)
    last, rate = chain(g, n, latent)
    g.flow(last, ills[0], rate)
    last, rate = chain(g, n, ill)
    dies, stays = n.of("ill_death"), n.of("carrier_share")
    g.flow(last, corpse, _part(rate, dies))
    g.flow(last, lost, _part(rate, dies), lose=False)
    g.flow(last, carrier_row, _part(rate, (1.0 - dies) * stays))
    _recovers(g, n, last, _part(rate, (1.0 - dies) * (1.0 - stays)), fish, spared)
    last, rate = chain(g, n, carrier)
    _recovers(g, n, last, rate, fish, spared)
    _pool(g, n, pool.id, pool_row, ills, 1.0)
    _pool(g, n, pool.id, pool_row, [carrier_row], quiet)
    _ends(g, n, corpse, spared, fish)
    return g, g.table(burden=0, grams=0, harms=False)


def shape(n: Numbers, temp_c: Array) -> Array:
    """0 below temp_low and above temp_high, 1 between the best temperatures, linear between. [-]"""

    low, opt_low, opt_high, high = (
        n.of(name) for name in ("temp_low", "temp_opt_low", "temp_opt_high", "temp_high")
    )
    rising = (temp_c - low) / np.maximum(opt_low - low, LEAST_C)
    falling = (high - temp_c) / np.maximum(high - opt_high, LEAST_C)
    return np.asarray(np.clip(np.minimum(rising, falling), 0.0, 1.0))


LEAST_C = 1e-3


def _fish(n: Numbers, herd: Herd, name: str) -> tuple[Gathering, int]:
    """Rows of all stages and of the fish that have none of it: fish that are freed go back to them."""
    g = Gathering(herd)
    fish = g.row("fish", "host", germ=False, stage=name)
    for stage in n.organism.stage:
        back = fish if stage.place in ("on_host", "in_host") else 0
        for number in range(stage.rows):
            g.row(f"{stage.id} {number + 1}", stage.place, stage=stage.id, heals=back)
    deaths(g, n)
    return g, fish


def _part(rate: Pace, share: Value) -> Pace:
    return lambda e: rate(e) * share


def _turning(n: Numbers, pool: str) -> Pace:
    return lambda e: n.of("natural", pool, e.temp_c)


def _recovers(g: Gathering, n: Numbers, source: int, rate: Pace, fish: int, spared: int) -> None:
    """A share of those that live resists for a while."""
    share = n.of("resist_share")
    g.flow(source, spared, _part(rate, share))
    g.flow(source, fish, _part(rate, 1.0 - share))


def _pool(g: Gathering, n: Numbers, pool: str, row: int, ill: list[int], each: Value) -> None:
    for one in ill:
        g.flow(one, row, _part(_turning(n, pool), each), lose=False)


def _ends(g: Gathering, n: Numbers, corpse: int, spared: int, fish: int) -> None:
    g.dies([corpse], fixed(HOURS / n.of("corpse_hours")))
    g.flow(spared, fish, fixed(1.0 / n.of("resist_lasts")))
