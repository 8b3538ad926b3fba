"""Tables that are not one file a thing: kinds of life, defaults, words, surveys, what must not meet."""

from __future__ import annotations

from tankward.knowledge.records.animal import (
    GrowthRule,
    LifeStageRule,
    MetabolicPoint,
    MetabolicRate,
    Reproduction,
    SensitivityClass,
    ShapeMass,
)
from tankward.knowledge.records.base import Record, Statement
from tankward.knowledge.records.cause import (
    Context,
    GenericTest,
    HostTag,
    PriorByGroup,
    Survey,
    UnknownCause,
    Word,
)
from tankward.knowledge.records.keeping import MustNotMeet, Practice
from tankward.knowledge.records.organism import Default, Factor, Kit, ReferenceState, Structure


class Tables(Record, frozen=True, kw_only=True):
    """Rows of every file that is not a thing of its own; a table may be spread over files."""

    structure: tuple[Structure, ...] = ()
    needs: dict[str, tuple[str, ...]] = {}
    tank: tuple[Default, ...] = ()
    conversion: tuple[Default, ...] = ()
    filter_effect: tuple[Factor, ...] = ()
    oxygen_effect: tuple[Factor, ...] = ()
    rule: tuple[Statement, ...] = ()
    reference_state: ReferenceState | None = None
    kit: tuple[Kit, ...] = ()
    context: tuple[Context, ...] = ()
    word: tuple[Word, ...] = ()
    unknown_cause: tuple[UnknownCause, ...] = ()
    host_tag: tuple[HostTag, ...] = ()
    survey: tuple[Survey, ...] = ()
    prior_by_group: tuple[PriorByGroup, ...] = ()
    test_generic: tuple[GenericTest, ...] = ()
    shape_length_weight: tuple[ShapeMass, ...] = ()
    length_weight_rule: tuple[GrowthRule, ...] = ()
    metabolic_rule: tuple[GrowthRule, ...] = ()
    growth_rule: tuple[GrowthRule, ...] = ()
    reproduction: tuple[Reproduction, ...] = ()
    metabolic_rate: tuple[MetabolicRate, ...] = ()
    metabolic_point: tuple[MetabolicPoint, ...] = ()
    life_stage_rule: tuple[LifeStageRule, ...] = ()
    sensitivity_class: tuple[SensitivityClass, ...] = ()
    pair: tuple[MustNotMeet, ...] = ()
    practice: tuple[Practice, ...] = ()
    contradiction: tuple[Statement, ...] = ()
    gap: tuple[Statement, ...] = ()
