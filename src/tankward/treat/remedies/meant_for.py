"""Whom a published course is for: the groups that its own conditions name (safety rule 2)."""

from __future__ import annotations

from collections.abc import Sequence

from tankward.knowledge.known import Facts
from tankward.knowledge.records.substance import Regimen
from tankward.quantities.faults import Reason
from tankward.room.things import Stock


def not_meant(regimen: Regimen, there: Sequence[Stock], facts: Facts) -> tuple[Stock, ...]:
    """Those whom the conditions of a course leave out; an animal of no known group is left out too."""
    if not regimen.only_groups and not regimen.not_groups:
        return ()
    return tuple(s for s in there if not _meant(regimen, group_of(s, facts)))


def group_of(stock: Stock, facts: Facts) -> str:
    """Its group in the facts; "" where it is in none."""
    known = facts.animals.get(stock.kind)
    return known.group if known is not None else ""


def _meant(regimen: Regimen, group: str) -> bool:
    named = not regimen.only_groups or group in regimen.only_groups
    return bool(group) and named and group not in regimen.not_groups


def by_group(one: str, regimen: Regimen, there: Sequence[Stock], facts: Facts) -> tuple[Reason, ...]:
    """One reason for each of those whom the course is not for."""
    return tuple(
        Reason(
            kind="not-meant-for",
            because=f"this course of {one} is not for {s.name}",
            would_change=f"leave the {s.name} out: they need another way",
            who=(s.name,),
            source=regimen.source,
            status=regimen.status,
        )
        for s in not_meant(regimen, there, facts)
    )
