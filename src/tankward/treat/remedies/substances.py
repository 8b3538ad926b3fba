"""A substance by one of its regimens: open or ruled out here, and what either rests on."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from tankward.judge.verdicts import Verdict, refused
from tankward.knowledge.records.substance import Regimen, Substance
from tankward.room.things import Stock
from tankward.treat.policy import permission

from .closed import (
    by_antibiotic,
    by_ceiling,
    by_conditions,
    by_count,
    by_meetings,
    by_policy,
    by_record,
    by_rest,
    by_rounds,
    by_warmth,
    by_water,
)
from .described import PLACES, option_of
from .meant_for import by_group, not_meant
from .records import Option, RuledOut
from .situation import Situation
from .weighed import fixed_ratio, judged, levels_in

NOT_IN_A_TUB = ("fixed-ratio", "still-in")  # reasons of the tank's water and animals alone


def remedies_of(one: Substance, situation: Situation) -> list[Option | RuledOut]:
    """Every regimen of a substance that is for one of the causes, and a tub where the tank is closed."""
    rows = [r for r in one.regimen if _for(r, situation.causes)]
    offered = [r for r in rows if r.recommended] or rows[:1]
    found: list[Option | RuledOut] = []
    for regimen in offered:
        whole = considered(one, regimen, situation)
        found.append(whole)
        tub = _in_a_tub(one, regimen, situation, whole)
        found += [tub] if tub is not None else []
    return found


def _for(regimen: Regimen, causes: tuple[str, ...]) -> bool:
    return bool({*regimen.treats, *regimen.relieves} & set(causes))


def considered(
    one: Substance, regimen: Regimen, situation: Situation, treated: Sequence[Stock] | None = None
) -> Option | RuledOut:
    """A regimen weighed: in the tank, or for `treated` alone in a tub.

    Parameters
    ----------
    one : Substance
        The substance.
    regimen : Regimen
        One of its regimens.
    situation : Situation
        The tank.
    treated : sequence of Stock, optional
        Those who go into a tub; nobody else meets the substance.

    Returns
    -------
    Option or RuledOut
        Ruled out by the first to the last of: use, record, limits, ceilings, warmth, what was found in the
        water, an antibiotic with nothing seen. All reasons are given, not only the first.
    """
    whole = _considered(one, regimen, situation, treated)
    gentler = _low_end(regimen)
    if gentler is None or isinstance(whole, Option):
        return whole
    found = _considered(one, gentler, situation, treated)
    return found if isinstance(found, Option) else whole


def _low_end(regimen: Regimen) -> Regimen | None:
    """The lowest level of a published range: still the published course, and nothing weaker."""
    if regimen.low is None or regimen.high is None or regimen.low >= regimen.high:
        return None
    return replace(regimen, high=regimen.low)


def _considered(
    one: Substance, regimen: Regimen, situation: Situation, treated: Sequence[Stock] | None
) -> Option | RuledOut:
    allowed = permission(one.id, situation.region, situation.shelf, situation.facts)
    tub = treated is not None or PLACES.get(regimen.route) == "tub"
    there = treated if treated is not None else situation.fish if tub else situation.stock
    levels = levels_in(one, regimen, situation, tub=tub)
    bears = judged(one, regimen, levels, there, situation, alone=tub)
    out = {v.limit.stock for v in bears if v.says == "refused"} if tub else set()
    out |= {s.id for s in not_meant(regimen, there, situation.facts)} if tub else set()
    goes_in = [s for s in there if s.id not in out]
    too_much, warned = by_ceiling(levels, situation.facts)
    held_back, told = by_water(one, regimen, situation)
    against, careful = ([], []) if tub else by_meetings(one, situation)
    warned += told + careful
    harmed = refused(bears) if not tub or not goes_in else ()
    if not tub and _every_fish(bears, situation):
        harmed = tuple(replace(r, would_change="another remedy") for r in harmed)
    closed = [
        *by_policy(one, allowed, situation.facts),
        *by_record(regimen),
        *harmed,
        *(by_rest(levels, situation) if harmed and not tub else ()),
        *(by_group(one.names[0], regimen, there, situation.facts) if not tub or not goes_in else ()),
        *fixed_ratio(one, regimen, there, situation),
        *too_much,
        *by_warmth(regimen, situation),
        *held_back,
        *by_antibiotic(one, situation),
        *by_rounds(one, situation),
        *by_count({*regimen.treats, *regimen.relieves} & set(situation.causes), situation),
        *by_conditions(one, situation),
        *against,
    ]
    name = f"{one.id}/{regimen.id}" + ("/tub" if treated is not None else "")
    if closed:
        return RuledOut(
            id=name, substance=one.id, route=regimen.route, regimen=regimen, permission=allowed, bears=bears,
            reasons=tuple(closed),
        )  # fmt: skip
    staying = [v for v in bears if v.limit.stock not in out]
    return option_of(name, one, regimen, allowed, situation, tuple(staying), tuple(out), tub, warned)


def _every_fish(bears: Sequence[Verdict], situation: Situation) -> bool:
    """Whether none of the fish bears it: to move them all away would leave nobody to treat."""
    harmed = {v.limit.stock for v in bears if v.says == "refused" and not v.limit.presumed}
    return bool(situation.fish) and {s.id for s in situation.fish} <= harmed


def _in_a_tub(
    one: Substance, regimen: Regimen, situation: Situation, whole: Option | RuledOut
) -> Option | RuledOut | None:
    """The same in a tub of its own, where only those who live in the tank stand against it."""
    if not isinstance(whole, RuledOut) or regimen.route != "water_long" or not situation.fish:
        return None
    against = {r.because for r in refused(whole.bears)}
    if not against or any(r.because not in against and r.kind not in NOT_IN_A_TUB for r in whole.reasons):
        return None
    found = considered(one, regimen, situation, situation.fish)
    return found if isinstance(found, Option) else None
