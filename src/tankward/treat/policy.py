"""Who may use a substance: by its use, the keeper's region and what the keeper has stated. Safety rule 30."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.substance import Law, Substance
from tankward.quantities.faults import Reason
from tankward.room.things import Supply

May = Literal["yes", "vet", "held", "hazard", "historic"]
# Strictest last. "Held" is a vet substance that the keeper states to hold lawfully.
STRICT: dict[str, int] = {"keeper": 0, "historic": 2, "vet": 3, "hazard": 4}
LAW_OF = {"US": ("US",), "UK": ("UK",), "EU": ("EU",), "DE": ("EU",), "other": (), "": ("US", "UK", "EU")}
MAY: dict[str, May] = {"keeper": "yes", "vet": "vet", "hazard": "hazard", "historic": "historic"}
REGIONS = ("US", "UK", "EU", "DE", "other")


class Permission(msgspec.Struct, frozen=True, kw_only=True):
    """What may be done with a substance here, and the lines of law that go with it."""

    substance: str
    use: str
    may: May
    note: str
    law: tuple[Law, ...] = ()
    stated_on: str = ""  # the day on which the keeper stated lawful possession

    @property
    def amounts(self) -> bool:
        """Whether amounts may be worked out."""
        return self.may in ("yes", "held")


def parts_of(substance: Substance, facts: Facts) -> list[Substance]:
    """The substance, or its parts where it is a combination."""
    return [facts.substances[p] for p in substance.parts] or [substance]


def use_of(substance: Substance, facts: Facts) -> str:
    """A combination is as strict as its strictest part."""
    uses = [substance.use, *(p.use for p in parts_of(substance, facts))]
    return max(uses, key=lambda use: STRICT[use])


def lawful(substance: Substance, shelf: Iterable[Supply], facts: Facts) -> Supply | None:
    """A supply on the shelf that holds it and is stated to be held lawfully."""
    ids = {p.id for p in parts_of(substance, facts)} | {substance.id}
    held = [s for s in shelf if s.held_lawfully and ids & {a.substance for a in s.actives}]
    return held[0] if held else None


def lines_of_law(substance: Substance, region: str, facts: Facts) -> tuple[Law, ...]:
    """The region's lines and those that hold everywhere; all of them where the region is not known."""
    wanted = {"all", *LAW_OF.get(region, ())}
    rows = [law for part in dict.fromkeys((substance, *parts_of(substance, facts))) for law in part.law]
    return tuple(law for law in rows if law.region in wanted)


def permission(substance: str, region: str, shelf: Iterable[Supply], facts: Facts) -> Permission:
    """What may be done with a substance.

    Parameters
    ----------
    substance : str
        Id of a substance of the facts.
    region : str
        US, UK, EU, DE, other; "" is not known and counts as the strictest.
    shelf : iterable of Supply
        What the keeper has, with the statement of lawful possession.
    facts : Facts
        The facts.

    Returns
    -------
    Permission
        A vet substance gives amounts only where the keeper states to hold it lawfully.
    """
    record = facts.substances[substance]
    use = use_of(record, facts)
    held = lawful(record, shelf, facts) if use == "vet" else None
    may: May = "held" if held else MAY[use]
    return Permission(
        substance=substance,
        use=use,
        may=may,
        note=record.use_note,
        law=lines_of_law(record, region, facts),
        stated_on=held.held_since if held else "",
    )


def why_not(permission: Permission, facts: Facts) -> Reason | None:
    """The reason for which no amounts are worked out; None where they may be."""
    if permission.amounts:
        return None
    name = facts.substances[permission.substance].names[0]
    because, change = {
        "vet": (
            f"{name} is for a veterinarian to order.",
            "ask a veterinarian; if you hold it lawfully, say so on the shelf (held-lawfully=yes)",
        ),
        "hazard": (f"{name} is not for a fish room: {permission.note}", "another remedy"),
        "historic": (f"{name} is only explained here: {permission.note}", "another remedy"),
    }[permission.may]
    return Reason(
        kind=f"use-{permission.may}",
        because=because,
        would_change=change,
        source="none",
        status="common-practice",
    )
