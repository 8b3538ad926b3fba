"""Who bears what; unknown is said, and a combination is as bad as its worst part."""

from itertools import product

import msgspec
import pytest

from tankward.knowledge.bearing import WORSE
from tankward.knowledge.records.substance import Substance
from tankward.quantities.faults import BadInput

SHRIMP_AND_SNAILS = (
    "shrimp_dwarf", "shrimp_larger", "snail_nerite", "snail_pulmonate", "snail_apple", "snail_trumpet",
    "snail_predatory",
)  # fmt: skip


@pytest.mark.parametrize("group", SHRIMP_AND_SNAILS)
def test_copper_is_lethal_to_shrimp_and_snails(facts, group):
    assert facts.sensitivity(group, "copper").cls == "lethal"


def test_formalin_with_fry_is_avoided(facts):
    assert facts.sensitivity("fry", "formalin").cls == "avoid"


def test_every_group_and_substance_has_a_class_or_unknown(facts):
    for group, substance in product(facts.groups, facts.substances):
        row = facts.sensitivity(group, substance)
        assert row.cls in WORSE
        assert (row.group, row.substance) == (group, substance)


def test_a_substance_without_rows_is_unknown_but_for_whom_it_is_said_to_harm(facts):
    """Bronopol has no rows; of shrimp it is said that it harms them severely."""
    assert not facts.substances["bronopol"].sensitivity
    found = {g: facts.sensitivity(g, "bronopol") for g in facts.groups}
    avoid = {g for g, row in found.items() if row.cls == "avoid"}
    assert avoid == {g for g in facts.groups if facts.groups[g].kind in ("shrimp", "crayfish")}
    assert {row.cls for g, row in found.items() if g not in avoid} == {"unknown"}
    assert found["shrimp_dwarf"].status == "published-read"
    assert "Daphnia" in found["shrimp_dwarf"].basis


def test_a_mild_word_is_no_leave(facts):
    """Lufenuron is said to do nothing to plants; nobody wrote a row, so it stays unknown."""
    assert facts.sensitivity("plants_robust", "lufenuron").cls == "unknown"
    assert facts.sensitivity("shrimp_dwarf", "lufenuron").cls == "avoid"


def test_a_combination_is_as_bad_as_its_worst_part(facts):
    for combined in (s for s in facts.substances.values() if s.parts):
        for group in facts.groups:
            whole = WORSE.index(facts.sensitivity(group, combined.id).cls)
            assert whole >= max(WORSE.index(facts.sensitivity(group, part).cls) for part in combined.parts)


def test_the_part_that_decides_is_named(facts):
    row = facts.sensitivity("fry", "metronidazole_praziquantel")
    assert facts.sensitivity("fry", "praziquantel").cls == row.cls == "caution"
    assert row.decided_by == "praziquantel"


def test_an_unknown_part_is_not_hidden_by_a_mild_one(facts):
    mild = msgspec.structs.replace(
        facts.substances["metronidazole_praziquantel"], parts=("praziquantel", "bronopol")
    )
    changed = msgspec.structs.replace(facts, substances={**facts.substances, mild.id: mild})
    assert changed.sensitivity("tetra", "praziquantel").cls == "ok"
    assert changed.sensitivity("tetra", mild.id).cls == "unknown"


def test_what_is_not_there_is_refused(facts):
    with pytest.raises(BadInput, match='group: "dragon" is no group'):
        facts.sensitivity("dragon", "copper")
    with pytest.raises(BadInput, match='substance: "unobtainium" is no substance'):
        facts.sensitivity("tetra", "unobtainium")
    with pytest.raises(BadInput, match='animal: "dragon" is no animal'):
        facts.tolerances("copper", "dragon")
    with pytest.raises(BadInput, match='source: "NOWHERE" is no key'):
        facts.source("NOWHERE")


def test_the_own_species_comes_first(facts):
    """Praziquantel and zebrafish: 96 h LC50 30.4 mg/L of adults is the species' own figure."""
    rows = facts.tolerances("praziquantel", "zebra_danio")
    assert rows[0].near == "own species"
    assert 30.4 in {b.row.value for b in rows if b.near == "own species"}
    assert len(rows) == len(facts.substances["praziquantel"].tolerance)


def test_a_row_of_another_animal_is_never_the_own(facts):
    for substance in facts.substances.values():
        for near in facts.tolerances(substance.id, "guppy"):
            if not near.row.applies_to:
                assert near.near == "another animal"
            if near.near == "own species":
                assert "guppy" in near.row.applies_to


def test_the_records_can_not_be_changed(facts):
    copper: Substance = facts.substances["copper"]
    with pytest.raises(AttributeError):
        copper.use = "keeper"
