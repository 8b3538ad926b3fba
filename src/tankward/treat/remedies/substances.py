"""A substance by one of its regimens: open or ruled out here, and what either rests on."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from tankward.judge.limits import limits
from tankward.judge.packets import packet
from tankward.judge.verdicts import Verdict, judge_levels, refused, worst
from tankward.knowledge.known import Facts
from tankward.knowledge.records.keeping import PeopleRow
from tankward.knowledge.records.substance import Regimen, Substance
from tankward.quantities.faults import Reason
from tankward.room.things import Stock
from tankward.treat.policy import Permission, permission

from .closed import (
    by_antibiotic,
    by_ceiling,
    by_conditions,
    by_meetings,
    by_policy,
    by_record,
    by_warmth,
    by_water,
)
from .levels import (
    Span,
    hours_of_parts,
    level_of,
    own_span,
    per_unit,
    spread,
    supply_of,
    with_rest,
    works_from,
)
from .reach import reach, untouched
from .records import Evidence, Option, Place, RuledOut
from .situation import Situation

LIMIT_ROUTE = {"water_long": "water", "water_bath": "bath", "dip": "bath", "heat": "heat"}
PLACES: dict[str, Place] = {"water_bath": "tub", "dip": "tub", "feed": "food", "swab": "fish"}
ADJUNCTS = ("garlic", "tannins", "magnesium_sulfate")  # safety rule 14
KIND_OF_EVIDENCE = {
    "published-read": "published",
    "computed": "computed",
    "common-practice": "trade-habit",
    "memory": "recalled",
}


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
    goes_in = [s for s in there if s.id not in out]
    too_much, warned = by_ceiling(levels, situation.facts)
    held_back, told = by_water(one, regimen, situation)
    against, careful = ([], []) if tub else by_meetings(one, situation)
    warned += told + careful
    closed = [
        *by_policy(one, allowed, situation.facts),
        *by_record(regimen),
        *(refused(bears) if not tub or not goes_in else ()),
        *fixed_ratio(one, regimen, there, situation),
        *too_much,
        *by_warmth(regimen, situation),
        *held_back,
        *by_antibiotic(one, situation),
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
    return _option(name, one, regimen, allowed, situation, tuple(staying), tuple(out), tub, warned)


def levels_in(one: Substance, regimen: Regimen, situation: Situation, *, tub: bool) -> dict[str, Span]:
    """What it makes in the water where it is given, part by part; empty where it is not given by level."""
    if regimen.route not in LIMIT_ROUTE:
        return {}
    if one.parts:
        return _levels_of_parts(one, regimen, situation, tub=tub)
    span = own_span(regimen, one)
    if span is None:
        return {}
    volume = None if tub or regimen.unit == "C" else situation.volume_l
    found = {one.id: spread(span[1], volume)}
    return found if tub or regimen.unit == "C" else with_rest(found, situation.still_in)


def _levels_of_parts(one: Substance, regimen: Regimen, situation: Situation, *, tub: bool) -> dict[str, Span]:
    """A combination at the lowest level at which each part works."""
    routes = (regimen.route,)
    least = {p: works_from(p, situation.causes, routes, situation.facts) for p in one.parts}
    found = {p: spread(x, None if tub else situation.volume_l) for p, x in least.items() if x is not None}
    return found if tub else with_rest(found, situation.still_in)


def judged(
    one: Substance,
    regimen: Regimen,
    levels: dict[str, Span],
    there: Sequence[Stock],
    situation: Situation,
    *,
    alone: bool,
) -> tuple[Verdict, ...]:
    """What the level means for each of those who meet it."""
    if not levels:
        return ()
    hours = hours_of_parts(one, regimen, situation.causes, situation.facts)
    made = limits(
        one.id,
        there,
        situation.facts,
        route=LIMIT_ROUTE[regimen.route],
        hours=hours,
        not_there=("fry", "egg") if alone else situation.not_there,
        trials=situation.trials,
    )
    return judge_levels(made, levels, hours, situation.facts)


def fixed_ratio(
    one: Substance, regimen: Regimen, there: Sequence[Stock], situation: Situation
) -> tuple[Reason, ...]:
    """Rule 5: a packet of which no number lets every part work and stay under every limit."""
    supply = supply_of(one, situation.shelf)
    if not one.parts or supply is None or situation.volume_l is None or regimen.route != "water_long":
        return ()
    least = {p: works_from(p, situation.causes, (regimen.route,), situation.facts) for p in one.parts}
    works = {p: x for p, x in least.items() if x is not None}
    hours = hours_of_parts(one, regimen, situation.causes, situation.facts)
    made = limits(one.id, there, situation.facts, hours=hours, not_there=situation.not_there)
    found = packet(per_unit(supply, situation.volume_l.value), works, made, hours, situation.facts)
    return () if found.reason is None else (found.reason,)


def _in_a_tub(
    one: Substance, regimen: Regimen, situation: Situation, whole: Option | RuledOut
) -> Option | RuledOut | None:
    """The same in a tub of its own, where only those who live in the tank stand against it."""
    if not isinstance(whole, RuledOut) or regimen.route != "water_long" or not situation.fish:
        return None
    against = set(refused(whole.bears))
    if not against or any(r not in against and r.kind != "fixed-ratio" for r in whole.reasons):
        return None
    found = considered(one, regimen, situation, situation.fish)
    return found if isinstance(found, Option) else None


def _option(
    name: str,
    one: Substance,
    regimen: Regimen,
    allowed: Permission,
    situation: Situation,
    bears: tuple[Verdict, ...],
    out: tuple[str, ...],
    tub: bool,
    warned: list[Reason],
) -> Option:
    aimed = tuple(c for c in situation.causes if c in {*regimen.treats, *regimen.relieves})
    reaches, left = reach(one.id, regimen.route, aimed, situation.facts)
    return Option(
        id=name,
        kind="substance",
        cause=aimed[0] if aimed else "",
        also_for=aimed[1:],
        substance=one.id,
        route=regimen.route,
        place="tub" if tub else PLACES.get(regimen.route, "tank"),
        regimen=regimen,
        level=level_of(regimen),
        permission=allowed,
        reaches=reaches,
        not_reached=left,
        leaves=untouched((*regimen.treats, *regimen.relieves), situation.ranking),
        bears=bears,
        left_out=tuple(s.id for s in situation.fish if s.id in out),
        cautions=tuple(_cautions(one, regimen, situation, bears, out, warned)),
        evidence=evidence(regimen),
        jar_trial=worst(bears) == "unknown",
        adjunct=one.id in ADJUNCTS,
        relieves=not set(regimen.treats) & set(situation.causes),
        days=days_of(regimen),
        people=hazards(one, situation.facts),
    )


def hazards(one: Substance, facts: Facts) -> tuple[PeopleRow, ...]:
    """What a substance, or a part of it, does to people."""
    ids = {one.id, *one.parts}
    return tuple(p for p in facts.hygiene.human_safety if ids & set(p.substances))


def evidence(regimen: Regimen) -> Evidence:
    """What a regimen rests on."""
    kind = KIND_OF_EVIDENCE[regimen.status]
    return Evidence(kind=kind, source=regimen.source, status=regimen.status, where=regimen.where)  # type: ignore[arg-type]


def days_of(regimen: Regimen) -> tuple[float, float] | None:
    """From the first dose to the end of the last. [d]"""
    if regimen.duration_h_high is None and (regimen.repeats_high or 1) < 2:
        return None
    last = [(regimen.duration_h_low or 0.0) / 24.0, (regimen.duration_h_high or 0.0) / 24.0]
    more = [max((n or 1) - 1, 0) for n in (regimen.repeats_low, regimen.repeats_high)]
    gap = [regimen.interval_d_low or 0.0, regimen.interval_d_high or 0.0]
    return last[0] + more[0] * gap[0], last[1] + more[1] * gap[1]


def _cautions(
    one: Substance,
    regimen: Regimen,
    situation: Situation,
    bears: Sequence[Verdict],
    out: Sequence[str],
    warned: Sequence[Reason],
) -> list[Reason]:
    found = list(warned)
    found += [v.reason for v in bears if v.says in ("care", "unknown")]
    named = {s.id: s.name for s in situation.stock}
    if out:
        found.append(
            Reason(
                kind="left-out",
                because=f"{' and '.join(named[s] for s in out)} must not go in and need another way.",
                who=tuple(named[s] for s in out),
            )
        )
    if regimen.conditions:
        found.append(
            Reason(
                kind="conditions",
                because=regimen.conditions,
                source=regimen.source,
                status=regimen.status,
            )
        )
    if one.id in ADJUNCTS:
        found.append(
            Reason(
                kind="adjunct",
                because=f"You may; it does nothing against {', '.join(one.not_for)}.",
                status=one.identity_status,
            )
        )
    return found
