"""What a substance reaches, stage by stage, and what it leaves alone. Safety rule 8."""

from __future__ import annotations

from tankward.knowledge.known import Facts
from tankward.knowledge.records.organism import Kill, Organism, Stage

from .records import Reached

KILL_ROUTE = {"water_long": "water", "water_bath": "bath", "dip": "bath", "feed": "feed", "heat": "water", "swab": "bath", "filter": "uv"}
REACHED_FROM = 0.5  # a stage counts as reached where at least half may die of it (our own choice, common practice)


def kills(substance: str, route: str, organism: Organism, stage: str, facts: Facts) -> list[Kill]:
    """The rows on a substance (or a part of it) and a stage, by the route or, for a bath, by the water."""
    ids = {substance, *facts.substances[substance].parts}
    routes = {KILL_ROUTE[route]} | ({"water"} if route in ("water_bath", "dip") else {"bath"} if route == "water_long" else set())
    return [k for k in organism.kill if k.substance in ids and k.stage == stage and k.route in routes and k.use]


def _row(organism: Organism, stage: Stage, kill: Kill | None) -> Reached:
    if kill is None:
        return Reached(organism=organism.id, stage=stage.id, place=stage.place)
    return Reached(
        organism=organism.id,
        stage=stage.id,
        place=stage.place,
        share=(kill.share_low, kill.share_high),
        level=kill.level,
        unit=kill.unit,
        hours=kill.exposure_h,
        source=kill.source,
        status=kill.status,
    )


def reach(substance: str, route: str, causes: tuple[str, ...], facts: Facts) -> tuple[tuple[Reached, ...], tuple[Reached, ...]]:
    """Stages that it kills, and stages that it leaves or of which nothing is known.

    Parameters
    ----------
    substance, route : str
        A substance and a route of its regimens.
    causes : tuple of str
        Cause ids; each brings its organisms.
    facts : Facts
        The facts.

    Returns
    -------
    tuple of (reached, not reached)
        A stage with no row is not reached: nothing is taken for killed that nobody has seen killed.
    """
    reached, left = [], []
    for organism in _organisms(causes, facts):
        for stage in organism.stage:
            rows = kills(substance, route, organism, stage.id, facts)
            best = max(rows, key=lambda k: k.share_high, default=None)
            row = _row(organism, stage, best)
            (reached if best is not None and best.share_high >= REACHED_FROM else left).append(row)
    return tuple(reached), tuple(left)


def _organisms(causes: tuple[str, ...], facts: Facts) -> list[Organism]:
    ids = dict.fromkeys(o for c in causes for o in facts.causes[c].organisms)
    return [facts.organisms[o] for o in ids if o in facts.organisms]
