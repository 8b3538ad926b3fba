"""The class of an inhabitant for a substance: by its group and its stage of life; for an unknown animal by
the strictest group.
"""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from tankward.knowledge.bearing import WORSE, Bearing
from tankward.knowledge.known import Facts
from tankward.knowledge.records.animal import LifeStageRule
from tankward.knowledge.records.base import Status
from tankward.knowledge.records.substance import Sensitive

from .inhabitant import Inhabitant

EGG_CLASS: dict[str, Sensitive] = {
    "none": "ok",
    "low": "ok",
    "moderate": "caution",
    "high": "avoid",
    "severe": "avoid",
}


class Class(msgspec.Struct, frozen=True, kw_only=True):
    """ok, caution, avoid, lethal or unknown, and which rule or row says so."""

    cls: Sensitive
    status: Status
    source: str = "none"
    because: str = ""


def class_of(substance: str, one: Inhabitant, facts: Facts) -> Class:
    """The class of one inhabitant for one substance (not a combination)."""
    if one.stage == "egg":
        return _eggs(substance, facts)
    rules = [r for r in facts.tables.life_stage_rule if substance in r.substances and _holds(r, one)]
    stage = [Class(cls="avoid", status=r.status, because=f"{r.who}, {r.stage}") for r in rules]
    return _worst([_own(substance, one, facts), *stage])


def _holds(rule: LifeStageRule, one: Inhabitant) -> bool:
    """Whether a rule of a stage of life is about this one."""
    if one.kind not in rule.kinds and one.group not in rule.groups:
        return False
    if rule.stage == "gravid":
        return bool(one.stock.gravid) and one.stage == "adult"
    return rule.stage == one.stage == "juvenile"


def _own(substance: str, one: Inhabitant, facts: Facts) -> Class:
    if one.stage == "fry" and one.kind == "fish":
        return _row(facts.sensitivity("fry", substance))
    if one.group:
        return _row(facts.sensitivity(one.group, substance))
    groups = [g.id for g in facts.groups.values() if g.kind == one.kind and not g.life_stage]
    return _worst([_row(facts.sensitivity(g, substance)) for g in groups])


def _row(bearing: Bearing) -> Class:
    return Class(cls=bearing.cls, status=bearing.status, source=bearing.source, because=bearing.group)


def _eggs(substance: str, facts: Facts) -> Class:
    """Eggs have rows of their own in what a substance does; without one they are unknown."""
    row = next((e for e in facts.substances[substance].effect if e.on == "eggs"), None)
    if row is None:
        return Class(cls="unknown", status="memory", because="egg")
    known = EGG_CLASS.get(row.level, "unknown")
    return Class(cls=known, status=row.status, source=row.source, because="egg")


def _worst(classes: Iterable[Class]) -> Class:
    return max(classes, key=lambda c: WORSE.index(c.cls))
