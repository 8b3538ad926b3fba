"""Keys that point into another file: each must exist there. Nothing is matched by part of a word."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator

from tankward.knowledge.known import Facts
from tankward.knowledge.records.animal import Animal, Bacterium, LifeStageRule, Plant, Trait
from tankward.knowledge.records.base import Record
from tankward.knowledge.records.cause import Cause, GenericTest, PriorByGroup, Survey, Word
from tankward.knowledge.records.feeding import Leaching
from tankward.knowledge.records.keeping import Disinfection, MustNotMeet, PeopleRow, Powder, View
from tankward.knowledge.records.organism import (
    ANY_SUBSTANCE,
    REMOVE_ILL,
    WITHOUT_FILE,
    Kill,
    Organism,
    Parameter,
    Susceptibility,
    Usual,
)
from tankward.knowledge.records.remedy import Remedy
from tankward.knowledge.records.substance import Regimen, SensitivityRow, Substance, Tolerance

Wrong = tuple[str, str]

FREE = ("condition:", "any ")  # what may stand where a substance stands in interactions
ANY_CAUSE = "any_"  # a survey of all parasites, not of one cause


def faults(row: Record, facts: Facts) -> Iterator[Wrong]:
    """Keys of this row that resolve to nothing."""
    check = CHECKS.get(type(row))
    if check:
        yield from check(row, facts)


def _missing(field: str, keys: Collection[str], there: Collection[str], what: str) -> Iterator[Wrong]:
    for key in keys:
        if key not in there:
            yield field, f'"{key}" is no {what}'


def _regimen(row: Regimen, facts: Facts) -> Iterator[Wrong]:
    yield from _missing("treats", row.treats, facts.causes, "cause")
    yield from _missing("relieves", row.relieves, facts.causes, "cause")


def _tolerance(row: Tolerance, facts: Facts) -> Iterator[Wrong]:
    living = {*facts.animals, *facts.plants, *facts.bacteria, *facts.groups}
    yield from _missing("applies_to", row.applies_to, living, "animal, plant, bacterium or group")


def _sensitivity(row: SensitivityRow, facts: Facts) -> Iterator[Wrong]:
    yield from _missing("group", [row.group], facts.groups, "group")


def _substance(row: Substance, facts: Facts) -> Iterator[Wrong]:
    yield from _missing("parts", row.parts, facts.substances, "substance")


def _cause(row: Cause, facts: Facts) -> Iterator[Wrong]:
    same = [t.same_as for t in row.test if t.same_as]
    yield from _missing("test", same, {*facts.signs, *facts.contexts}, "sign or context")
    for field in ("sign", "against"):
        yield from _missing(field, [c.id for c in getattr(row, field)], facts.signs, "sign")
    yield from _missing("context", [c.id for c in row.context], facts.contexts, "context")
    yield from _missing("organisms", row.organisms, facts.organisms, "organism")
    yield from _missing("split_from", [row.split_from] if row.split_from else [], facts.causes, "cause")


def _word(row: Word, facts: Facts) -> Iterator[Wrong]:
    yield from _missing("signs", row.signs, facts.signs, "sign")


def _survey(row: Survey, facts: Facts) -> Iterator[Wrong]:
    causes = [k.strip() for k in row.cause.split("+")]
    yield from _missing("cause", [k for k in causes if not k.startswith(ANY_CAUSE)], facts.causes, "cause")


def _prior(row: PriorByGroup, facts: Facts) -> Iterator[Wrong]:
    if not row.cause.startswith(ANY_CAUSE):
        yield from _missing("cause", [row.cause], facts.causes, "cause")
    yield from _missing("surveys", row.surveys, {s.id for s in facts.tables.survey}, "survey")


def _generic_test(row: GenericTest, facts: Facts) -> Iterator[Wrong]:
    yield from _missing("finds", row.finds, facts.causes, "cause")


def _kill(row: Kill, facts: Facts) -> Iterator[Wrong]:
    there = {*facts.substances, ANY_SUBSTANCE, *WITHOUT_FILE}
    yield from _missing("substance", [row.substance], there, "substance")


def _usual(row: Usual, facts: Facts) -> Iterator[Wrong]:
    yield from _missing("substance", [row.substance], {*facts.substances, REMOVE_ILL}, "substance")
    if "/" not in row.regimen:
        return
    substance, regimen = row.regimen.split("/")
    there = {r.id for r in facts.substances[substance].regimen} if substance in facts.substances else set()
    yield from _missing("regimen", [regimen], there, f"regimen of {substance}")


def _parameter(row: Parameter, facts: Facts) -> Iterator[Wrong]:
    if row.name.startswith("sign"):
        yield from _missing("sign", [row.sign], facts.signs, "sign")


def _animal(row: Animal, facts: Facts) -> Iterator[Wrong]:
    yield from _missing("group", [row.group], facts.groups, "group")
    tags = {*facts.host_tags, *(finer for tag in facts.host_tags.values() for finer in tag)}
    yield from _missing("host_tags", row.host_tags, tags, "kind of host")


def _grouped(row: Plant | Bacterium, facts: Facts) -> Iterator[Wrong]:
    yield from _missing("group", [row.group] if row.group else [], facts.groups, "group")


def _one_substance(row: Trait | Leaching | Disinfection, facts: Facts) -> Iterator[Wrong]:
    yield from _missing("substance", [row.substance] if row.substance else [], facts.substances, "substance")


def _substances(row: Powder | PeopleRow | Susceptibility | LifeStageRule, facts: Facts) -> Iterator[Wrong]:
    yield from _missing("substances", row.substances, facts.substances, "substance")
    if isinstance(row, LifeStageRule):
        yield from _missing("groups", (*row.groups, *row.not_groups), facts.groups, "group")


def _pair(row: MustNotMeet, facts: Facts) -> Iterator[Wrong]:
    for field, side in (("a", row.a), ("b", row.b)):
        if not side.startswith(FREE):
            yield from _missing(field, [side], facts.substances, "substance")


def _remedy(row: Remedy, facts: Facts) -> Iterator[Wrong]:
    yield from _missing("causes", (*row.causes, *row.not_causes), facts.causes, "cause")
    yield from _missing("groups", row.groups, {c.group for c in facts.causes.values()}, "group of causes")
    yield from _missing("structures", row.structures, facts.structures, "kind of life")


def _view(row: View, facts: Facts) -> Iterator[Wrong]:
    yield from _missing("cause", [row.cause] if row.cause else [], facts.causes, "cause")
    yield from _missing("organism", [row.organism] if row.organism else [], facts.organisms, "organism")
    alike = {a.id for a in facts.hygiene.look_alike}
    yield from _missing("taken_for", row.taken_for, alike, "look-alike")


CHECKS: dict[type[Record], Callable[..., Iterator[Wrong]]] = {
    Regimen: _regimen,
    Remedy: _remedy,
    Tolerance: _tolerance,
    SensitivityRow: _sensitivity,
    Substance: _substance,
    Cause: _cause,
    Word: _word,
    Survey: _survey,
    PriorByGroup: _prior,
    GenericTest: _generic_test,
    Kill: _kill,
    Usual: _usual,
    Parameter: _parameter,
    Animal: _animal,
    Plant: _grouped,
    Bacterium: _grouped,
    Trait: _one_substance,
    Leaching: _one_substance,
    Disinfection: _one_substance,
    Powder: _substances,
    PeopleRow: _substances,
    Susceptibility: _substances,
    LifeStageRule: _substances,
    MustNotMeet: _pair,
    View: _view,
}


def within(record: Record, facts: Facts) -> Iterator[Wrong]:
    """Keys that point inside the same file: the stages of an organism."""
    if not isinstance(record, Organism):
        return
    stages = {stage.id for stage in record.stage}
    for number, stage in enumerate(record.stage, 1):
        for wrong in _missing("next", [stage.next] if stage.next else [], stages, "stage"):
            yield f"stage row {number}, {wrong[0]}", wrong[1]
    named = [("parameter", n, p.stage) for n, p in enumerate(record.parameter, 1)]
    named += [("kill", n, k.stage) for n, k in enumerate(record.kill, 1)]
    for table, number, stage_id in named:
        for wrong in _missing("stage", [stage_id] if stage_id else [], stages, "stage"):
            yield f"{table} row {number}, {wrong[0]}", wrong[1]
    if record.births:
        yield from _missing("births", [record.births.from_, record.births.into], stages, "stage")
    if record.corpse_to:
        yield from _missing("corpse_to", [record.corpse_to], stages, "stage")
