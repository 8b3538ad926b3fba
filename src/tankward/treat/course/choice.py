"""Which regimen is meant, and every reason for which a course is not made."""

from __future__ import annotations

import msgspec
from msgspec.structs import replace

from tankward.knowledge.known import Facts
from tankward.knowledge.records.substance import Regimen, Substance
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.room.things import Supply
from tankward.treat.policy import Permission, permission, why_not
from tankward.treat.remedies.closed import third_course
from tankward.treat.remedies.records import Option, RuledOut
from tankward.treat.remedies.situation import Situation
from tankward.treat.remedies.substances import considered

from .request import CourseRequest


class Chosen(msgspec.Struct, frozen=True, kw_only=True):
    """A substance by one of its regimens, open in this tank."""

    one: Substance
    regimen: Regimen
    option: Option
    situation: Situation
    supply: Supply | None
    allowed: Permission

    @property
    def supply_name(self) -> str:
        return self.supply.name if self.supply else ""


def choose(
    request: CourseRequest,
    substance: str,
    route: str,
    facts: Facts,
    *,
    regimen_id: str = "",
    supply: Supply | None = None,
    place: str = "",
    region: str = "",
) -> Chosen:
    """The regimen that is meant.

    Raises
    ------
    BadInput
        For a substance, route or regimen that is not known.
    Refused
        With every reason: use and law, limits, ceiling, water, people, what is still in, rounds.
    """
    if substance not in facts.substances:
        raise BadInput("substance", substance, "is no substance that is known here.")
    one = facts.substances[substance]
    supply = supply or _supply(one, request)
    _holds(supply, one)
    regimen = _regimen(one, route, regimen_id, request.causes)
    refuse(_humane_end(regimen))
    if supply is not None:
        request = replace(request, shelf=(supply, *(s for s in request.shelf if s.id != supply.id)))
    allowed = strictest(one, supply, request, region or request.kit.region, facts)
    refuse(_by_law(allowed, facts))
    refuse(_too_often(one, request))
    situation = request.situation(facts, _causes(regimen, request), region or request.kit.region)
    tub = situation.fish if place == "tub" and regimen.route == "water_long" else None
    found = considered(one, regimen, situation, tub)
    if isinstance(found, RuledOut):
        raise Refused(*found.reasons)
    return Chosen(one=one, regimen=regimen, option=found, situation=situation, supply=supply, allowed=allowed)


def refuse(reasons: tuple[Reason, ...]) -> None:
    """Stop where there is a reason."""
    if reasons:
        raise Refused(*reasons)


def _holds(supply: Supply | None, one: Substance) -> None:
    """A packet must hold what is to be given, unless nobody knows what it holds."""
    held = {a.substance for a in supply.actives} if supply else set()
    if held and not held & {one.id, *one.parts}:
        raise BadInput("supply", supply.name if supply else "", f"holds no {one.names[0]}.")


def _humane_end(regimen: Regimen) -> tuple[Reason, ...]:
    """Rule 32: a humane end is no course; a veterinarian first."""
    if "humane end" not in regimen.purpose:
        return ()
    return (
        Reason(
            kind="humane-end",
            because="A humane end is not planned like a course.",
            would_change="a veterinarian first; then see what stands with a humane end",
            source=regimen.source,
            status=regimen.status,
        ),
    )


def _supply(one: Substance, request: CourseRequest) -> Supply | None:
    """What is on the shelf of just this, else what holds it among others."""
    wanted = set(one.parts or (one.id,))
    exact = [s for s in request.shelf if not s.unknown and {a.substance for a in s.actives} == wanted]
    return next(iter(exact), None)


def _regimen(one: Substance, route: str, regimen_id: str, causes: tuple[str, ...]) -> Regimen:
    """By its id; else the recommended one of the route that is for the cause, best known first."""
    if regimen_id:
        found = next((r for r in one.regimen if r.id == regimen_id and r.route == route), None)
        if found is None:
            raise BadInput("regimen", regimen_id, f"is no way of using {one.names[0]} by {route}.")
        return found
    rows = [r for r in one.regimen if r.route == route]
    if not rows:
        ways = ", ".join(dict.fromkeys(r.route for r in one.regimen)) or "none"
        raise BadInput("route", route, f"is no way of using {one.names[0]}. Known ways: {ways}.")
    return min(rows, key=lambda r: _rank(r, causes))


SURE = ("published-read", "computed", "common-practice", "memory")


def _rank(row: Regimen, causes: tuple[str, ...]) -> tuple[bool, bool, bool, int]:
    aimed = bool({*row.treats, *row.relieves} & set(causes))
    return not row.recommended, not aimed and bool(causes), not row.treats, SURE.index(row.status)


def _causes(regimen: Regimen, request: CourseRequest) -> tuple[str, ...]:
    """The causes asked about that it is for; all that it is for where none was named."""
    aimed = (*regimen.treats, *regimen.relieves)
    return tuple(c for c in request.causes if c in aimed) or aimed


def strictest(
    one: Substance, supply: Supply | None, request: CourseRequest, region: str, facts: Facts
) -> Permission:
    """Permission for all that goes in: a packet's other actives count as well."""
    ids = dict.fromkeys((one.id, *(a.substance for a in (supply.actives if supply else ()))))
    shelf = (supply, *request.shelf) if supply else request.shelf
    found = [permission(i, region, shelf, facts) for i in ids]
    order = ("yes", "held", "historic", "vet", "hazard")
    worst = max(found, key=lambda p: order.index(p.may))
    law = tuple(dict.fromkeys(line for p in found for line in p.law))
    return replace(worst, law=law, stated_on=next((p.stated_on for p in found if p.stated_on), ""))


def _by_law(allowed: Permission, facts: Facts) -> tuple[Reason, ...]:
    reason = why_not(allowed, facts)
    return () if reason is None else (reason,)


def _too_often(one: Substance, request: CourseRequest) -> tuple[Reason, ...]:
    """Rule 12: a third course of the same within six months, with no cause seen."""
    parts = {one.id, *one.parts}
    before = [b for b in request.before if parts & {b.substance}]
    reason = None if request.seen_cause else third_course(one, len(before))
    return () if reason is None else (reason,)
