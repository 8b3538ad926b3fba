"""Who bears what: the class of a group, and the measured figures by how near the animal they are."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from tankward.knowledge.records.animal import Animal, Group
from tankward.knowledge.records.base import Record, Status
from tankward.knowledge.records.substance import Sensitive, Substance, Tolerance
from tankward.quantities.faults import BadInput

Near = Literal["own species", "own group", "another group", "another animal"]

# Unknown stands above caution: what nobody knows must not be hidden behind a part that is known to be mild.
WORSE: tuple[Sensitive, ...] = ("ok", "caution", "unknown", "avoid", "lethal")


class Bearing(Record, frozen=True, kw_only=True):
    """How a group bears a substance. `decided_by`: the substance or the part whose row this is."""

    group: str
    substance: str
    cls: Sensitive
    source: str
    status: Status
    where: str
    basis: str
    decided_by: str


class Borne(Record, frozen=True, kw_only=True):
    """A measured tolerance and how near the animal it is."""

    near: Near
    row: Tolerance


def bearing(
    substances: Mapping[str, Substance], groups: Mapping[str, Group], group: str, substance: str
) -> Bearing:
    """The class of this group for this substance; of a combination the worst of its own row and its parts."""
    if group not in groups:
        raise BadInput("group", group, "is no group of animals, plants or bacteria")
    whole = _thing(substances, substance)
    own = _own(whole, groups[group])
    parts = [bearing(substances, groups, group, part) for part in whole.parts]
    if not parts:
        return own
    rows = parts if own.cls == "unknown" and not _has_row(whole, group) else [own, *parts]
    worst = max(rows, key=lambda b: WORSE.index(b.cls))
    return Bearing(
        **{f: getattr(worst, f) for f in Bearing.__struct_fields__ if f != "substance"}, substance=substance
    )


def borne(
    substances: Mapping[str, Substance], animals: Mapping[str, Animal], substance: str, animal: str
) -> tuple[Borne, ...]:
    """Tolerance rows of a substance, the nearest to the animal first."""
    if animal not in animals:
        raise BadInput("animal", animal, "is no animal of the facts")
    one = animals[animal]
    rows = [Borne(near=_near(row, one), row=row) for row in _thing(substances, substance).tolerance]
    return tuple(sorted(rows, key=lambda b: NEARNESS.index(b.near)))


NEARNESS: tuple[Near, ...] = ("own species", "own group", "another group", "another animal")


def _near(row: Tolerance, animal: Animal) -> Near:
    """A row that also names a group is a relative's figure, not the species' own."""
    if animal.id in row.applies_to:
        return "own species" if animal.group not in row.applies_to else "own group"
    if animal.group in row.applies_to:
        return "own group"
    return "another group" if row.applies_to else "another animal"


def _thing(substances: Mapping[str, Substance], substance: str) -> Substance:
    if substance not in substances:
        raise BadInput("substance", substance, "is no substance of the facts")
    return substances[substance]


def _has_row(substance: Substance, group: str) -> bool:
    return any(row.group == group for row in substance.sensitivity)


def _own(substance: Substance, group: Group) -> Bearing:
    """Its own row; else what the substance is said to do to its kind; else unknown."""
    row = next((row for row in substance.sensitivity if row.group == group.id), None)
    if row is None:
        return _unknown(substance.id, group.id) if substance.parts else _by_word(substance, group)
    return Bearing(
        group=group.id,
        substance=substance.id,
        cls=row.cls,
        source=row.source,
        status=row.status,
        where=row.where,
        basis=row.basis,
        decided_by=substance.id,
    )


KINDS = {"shrimp": "shrimp", "crayfish": "shrimp", "snail": "snails", "plant": "plants"}
HARMS = ("high", "severe")  # a milder word is no leave: without a row it stays unknown


def _by_word(substance: Substance, group: Group) -> Bearing:
    on = "fry" if group.id == "fry" else KINDS.get(group.kind, "")
    word = next((e for e in substance.effect if e.on == on and e.level in HARMS), None)
    if word is None:
        return _unknown(substance.id, group.id)
    return Bearing(
        group=group.id,
        substance=substance.id,
        cls="avoid",
        source=word.source,
        status=word.status,
        where=word.where,
        basis=word.text,
        decided_by=substance.id,
    )


def _unknown(substance: str, group: str) -> Bearing:
    return Bearing(
        group=group,
        substance=substance,
        cls="unknown",
        source="none",
        status="memory",
        where="",
        basis="no row",
        decided_by=substance,
    )
