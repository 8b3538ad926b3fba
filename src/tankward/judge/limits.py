"""How much of a substance each inhabitant bears: a level with its reason, or an explicit "unknown"."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from tankward.knowledge.known import Facts
from tankward.room.things import Stock

from .caps import group_cap
from .choices import LC50_HOURS
from .figures import figures, unit_of, usual
from .inhabitant import Inhabitant, inhabitants
from .limit import Limit
from .making import (
    YOUNG_STAGES,
    by_bath,
    by_class,
    by_lc50,
    by_no_effect,
    by_trials,
    capped,
    comparable,
    harmful,
)
from .stages import class_of
from .trials import Trial


def limits(
    substance: str,
    stock: Sequence[Stock],
    facts: Facts,
    *,
    route: str = "water",
    hours: float = LC50_HOURS.value,
    not_there: Collection[str] = (),
    trials: Sequence[Trial] = (),
) -> tuple[Limit, ...]:
    """A limit for every inhabitant and every part of a substance.

    Parameters
    ----------
    substance : str
        Id of a substance; a combination is judged part by part.
    stock : sequence of Stock
        Who lives in the tank, plants too.
    facts : Facts
        The facts.
    route : str
        "water" (left in the tank), "bath" (timed) or "heat".
    hours : float
        How long it acts; a no-effect level counts only if it was tested for that long. [h]
    not_there : collection of str
        "fry", "egg": stages the keeper has said are not there.
    trials : sequence of Trial
        Jar trials done with animals of this tank.

    Returns
    -------
    tuple of Limit
        In mg/L, uL/L for formalin, °C for heat.

    Notes
    -----
    Made by the first that exists: a published no-effect level for the species, stage and time; the 96 h
    LC50 x 0.1 (own species), x 0.03 (own group), x 0.01 (another group); the class of its group; else
    unknown. Half of a level at which its stage was seen harmed is never passed. Fry of livebearers and eggs
    of scatterers on moss are presumed.
    """
    parts = facts.substances[substance].parts or (substance,)
    here = inhabitants(stock, facts, not_there)
    return tuple(_limit(_bare(substance, p, route, i, facts), i, facts, route, hours, trials)
                 for p in parts for i in here)  # fmt: skip


def _limit(
    bare: Limit, one: Inhabitant, facts: Facts, route: str, hours: float, trials: Sequence[Trial]
) -> Limit:
    rows = [f for f in figures(facts.substances[bare.part]) if comparable(f, one)]
    harm = harmful(rows, one)
    if route == "bath":
        made = capped(by_bath(bare, hours), [f for f in harm if f.hours is not None and f.hours <= hours])
    else:
        first = by_no_effect(bare, rows, one, hours) or by_lc50(bare, rows, one) or by_class(bare)
        made = capped(first, harm)
    return by_trials(made, trials)


def _bare(substance: str, part: str, route: str, one: Inhabitant, facts: Facts) -> Limit:
    """Who and what, before any level."""
    known = class_of(part, one, facts)
    return Limit(
        stock=one.stock.id,
        who=f"{one.stage} of {one.stock.name}" if one.presumed in YOUNG_STAGES else one.stock.name,
        number=one.stock.number.value,
        animal=one.stock.kind,
        group=one.group,
        kind_of=one.kind,
        stage=one.stage,
        substance=substance,
        part=part,
        route=route,
        cls=known.cls,
        cls_status=known.status,
        cls_because=known.because,
        unit=unit_of(facts.substances[part]),
        usual=usual(part, route, facts),
        cap=group_cap(part, one.group, facts) if route == "water" else None,
        presumed=one.presumed,
        source=known.source,
        status=known.status,
    )
