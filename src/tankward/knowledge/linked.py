"""What belongs together: a cause with its signs, what it comes from, what is given against it."""

from __future__ import annotations

from collections.abc import Iterator

from tankward.knowledge.find import Kind
from tankward.knowledge.known import Facts
from tankward.knowledge.records.base import Record

WAYS = ("water_long", "water_bath", "dip", "feed", "heat")


class Link(Record, frozen=True, kw_only=True):
    """One thing that belongs to another, and how. A chance is that of the sign where the cause is."""

    group: str  # signs, against, causes, organisms, remedies, reached, not-with, animals, groups
    kind: Kind
    id: str
    low: float | None = None
    high: float | None = None
    status: str = ""


def links(facts: Facts, kind: Kind, thing: str) -> tuple[Link, ...]:
    """Everything that belongs to a thing, nearest first within each group."""
    found = {
        "cause": _of_cause, "sign": _of_sign, "organism": _of_organism, "substance": _of_substance,
        "animal": _of_animal, "plant": _of_plant, "group": _of_group,
    }.get(kind)  # fmt: skip
    every = tuple(found(facts, thing)) if found else ()
    return tuple({(x.group, x.kind, x.id): x for x in every}.values())


def _of_cause(facts: Facts, thing: str) -> Iterator[Link]:
    cause = facts.causes[thing]
    for sign in sorted(cause.sign, key=lambda s: -(s.low + s.high)):
        if sign.id in facts.signs:
            yield Link(
                group="signs", kind="sign", id=sign.id, low=sign.low, high=sign.high,
                status=cause.basis.status,
            )  # fmt: skip
    yield from (Link(group="against", kind="sign", id=s.id) for s in cause.against if s.id in facts.signs)
    yield from (Link(group="organisms", kind="organism", id=o) for o in cause.organisms)
    for substance in facts.substances.values():
        if any(thing in r.treats and r.recommended for r in substance.regimen):
            yield Link(group="remedies", kind="substance", id=substance.id)


def _of_sign(facts: Facts, thing: str) -> Iterator[Link]:
    rows = [(c, s) for c in facts.causes.values() for s in c.sign if s.id == thing]
    for cause, sign in sorted(rows, key=lambda pair: -(pair[1].low + pair[1].high)):
        yield Link(
            group="causes", kind="cause", id=cause.id, low=sign.low, high=sign.high, status=cause.basis.status
        )
    for cause in facts.causes.values():
        if any(s.id == thing for s in cause.against):
            yield Link(group="not-with", kind="cause", id=cause.id)


def _of_organism(facts: Facts, thing: str) -> Iterator[Link]:
    causes = [c for c in facts.causes.values() if thing in c.organisms]
    yield from (Link(group="causes", kind="cause", id=c.id) for c in causes)
    reached = {k.substance for k in facts.organisms[thing].kill}
    yield from (Link(group="reached", kind="substance", id=s) for s in facts.substances if s in reached)
    for cause in causes:
        yield from (x for x in _of_cause(facts, cause.id) if x.group in ("signs", "remedies"))


def _of_substance(facts: Facts, thing: str) -> Iterator[Link]:
    one = facts.substances[thing]
    treated = {cause for r in one.regimen if r.recommended for cause in r.treats}
    yield from (Link(group="causes", kind="cause", id=c) for c in facts.causes if c in treated)
    for organism in facts.organisms.values():
        if any(k.substance == thing for k in organism.kill):
            yield Link(group="organisms", kind="organism", id=organism.id)
    yield from (Link(group="parts", kind="substance", id=p) for p in one.parts)
    met = {p.b if p.a == thing else p.a for p in facts.tables.pair if thing in (p.a, p.b)}
    yield from (Link(group="not-with", kind="substance", id=s) for s in facts.substances if s in met)


def _of_animal(facts: Facts, thing: str) -> Iterator[Link]:
    yield Link(group="groups", kind="group", id=facts.animals[thing].group)


def _of_plant(facts: Facts, thing: str) -> Iterator[Link]:
    yield Link(group="groups", kind="group", id=facts.plants[thing].group)


def _of_group(facts: Facts, thing: str) -> Iterator[Link]:
    yield from (
        Link(group="animals", kind="animal", id=i) for i, a in facts.animals.items() if a.group == thing
    )
    yield from (
        Link(group="animals", kind="plant", id=i) for i, p in facts.plants.items() if p.group == thing
    )
