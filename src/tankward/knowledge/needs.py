"""An organism has every parameter its kind of life needs: one that stood only in code would be a fault."""

from __future__ import annotations

from collections.abc import Iterator

from tankward.knowledge import widths
from tankward.knowledge.known import Facts
from tankward.knowledge.records.base import Record
from tankward.knowledge.records.organism import REMOVE_ILL, Organism, Stage, Structure

Wrong = tuple[str, str]
Need = tuple[str, str]  # name, stage ("" = anywhere)

MOST_ROWS = 40  # the compiled kernel is sized for this; more sub-stages tell nothing


def faults(record: Record, facts: Facts) -> Iterator[Wrong]:
    """What this organism lacks."""
    if not isinstance(record, Organism):
        return
    structure = facts.structures.get(record.structure)
    if structure is None:
        yield "structure", f'"{record.structure}" is no kind of life'
        return
    there = {(p.name, p.stage) for p in record.parameter if p.use}
    anywhere = {name for name, _ in there}
    for name, stage in wanted(record, structure, facts.tables.needs):
        if (name not in anywhere) if not stage else ((name, stage) not in there):
            yield "parameter", f"needs {name}" + (f" of stage {stage}" if stage else "")
    yield from _shape(record, structure)
    yield from _stands_twice(record)
    yield from widths.faults(record)


def wanted(organism: Organism, structure: Structure, needs: dict[str, tuple[str, ...]]) -> Iterator[Need]:
    """Every parameter this kind of life needs, with the stage where it must stand."""
    free = organism.host == "none"
    yield from ((name, "") for name in structure.needs)
    if structure.host_needs:
        yield from ((name, "") for name in needs["free_living" if free else "host"])
    if organism.structure == "logistic" and not free:
        yield from ((name, "") for name in needs["logistic_host"])
    for number, stage in enumerate(organism.stage):
        yield from ((name, stage.id) for name in _of_stage(organism, stage, needs))
        if free and number == 0:
            yield from ((name, stage.id) for name in needs["free_living_animal"])
    births = organism.births
    if births and organism.structure != "birth_death_on_host":
        yield from ((name, births.from_) for name in needs[births.by])


def _of_stage(organism: Organism, stage: Stage, needs: dict[str, tuple[str, ...]]) -> tuple[str, ...]:
    if stage.by:
        return (*needs[stage.place], *needs[f"by_{stage.by}"])
    counted = organism.structure in ("reservoir", "slow_seid") and stage.place in ("on_host", "in_host")
    return (*needs[stage.place], *(("days",) if counted else ()))


def _shape(organism: Organism, structure: Structure) -> Iterator[Wrong]:
    if structure.host_needs and organism.host != "none" and not organism.corpse_to:
        yield "corpse_to", "is needed: what leaves a dead fish"
    if sum(stage.rows for stage in organism.stage) > MOST_ROWS:
        yield "stage", f"has more than {MOST_ROWS} sub-stages"
    killed_by = {kill.substance for kill in organism.kill}
    if organism.usual.substance not in {*killed_by, REMOVE_ILL}:
        yield "usual", f"no kill row for {organism.usual.substance}"


def _stands_twice(organism: Organism) -> Iterator[Wrong]:
    seen: set[tuple[str, str, str, float | None]] = set()
    for number, row in enumerate(organism.parameter, 1):
        key = (row.name, row.stage, row.sign, row.temp_c)
        if not row.use:
            continue
        if key in seen:
            yield f"parameter row {number}", f"{row.name} stands twice (mark one with use = false)"
        seen.add(key)
    for name, stage, sign in {key[:3] for key in seen}:
        temps = [key[3] for key in seen if key[:3] == (name, stage, sign)]
        if None in temps and len(temps) > 1:
            yield "parameter", f"{name} stands with and without temperature"
