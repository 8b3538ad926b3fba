"""What a substance reaches, stage by stage, and what it leaves alone. Safety rule 8."""

from __future__ import annotations

from tankward.judge.causes import Ranking
from tankward.knowledge.known import Facts
from tankward.knowledge.records.organism import Kill, Organism, Stage

from .records import Left, Reached

KILL_ROUTE = {
    "water_long": ("water", "bath"),
    "water_bath": ("bath", "water"),
    "dip": ("bath", "water"),
    "swab": ("bath",),
    "feed": ("feed",),
    "heat": ("water",),
    "filter": ("uv",),
}
REACHED_FROM = 0.5  # a stage counts as reached where half or more may die of it [common practice, our choice]
LIKELY = 0.05  # safety rule 8: causes above 5 % that stay untouched are named


def kills(substance: str, route: str, organism: Organism, stage: str, facts: Facts) -> list[Kill]:
    """The rows on a substance (or a part of it) and a stage, by the route or one like it."""
    ids = {substance, *facts.substances[substance].parts}
    routes = KILL_ROUTE.get(route, ())
    return [
        k for k in organism.kill if k.substance in ids and k.stage == stage and k.route in routes and k.use
    ]


def _row(organism: Organism, stage: Stage, kill: Kill | None) -> Reached:
    bare = Reached(organism=organism.id, stage=stage.id, place=stage.place)
    if kill is None:
        return bare
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


def reach(
    substance: str, route: str, causes: tuple[str, ...], facts: Facts
) -> tuple[tuple[Reached, ...], tuple[Reached, ...]]:
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
    reached: list[Reached] = []
    left: list[Reached] = []
    for organism in organisms_of(causes, facts):
        for stage in organism.stage:
            rows = kills(substance, route, organism, stage.id, facts)
            best = max(rows, key=lambda k: k.share_high, default=None)
            hit = best is not None and best.share_high >= REACHED_FROM
            (reached if hit else left).append(_row(organism, stage, best))
    return tuple(reached), tuple(left)


def organisms_of(causes: tuple[str, ...], facts: Facts) -> list[Organism]:
    """The organisms behind the causes, each once."""
    ids = dict.fromkeys(o for c in causes for o in facts.causes[c].organisms)
    return [facts.organisms[o] for o in ids if o in facts.organisms]


def untouched(aimed: tuple[str, ...], ranking: Ranking | None) -> tuple[Left, ...]:
    """Likely causes that a remedy for `aimed` leaves as they are."""
    if ranking is None:
        return ()
    return tuple(
        Left(cause=r.id, low=r.low, value=r.value, high=r.high)
        for r in ranking.ranked
        if r.value > LIKELY and r.id not in aimed
    )
