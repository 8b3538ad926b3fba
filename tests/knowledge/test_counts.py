"""Nothing was lost on the way into the facts: rows counted in the collection they were carried over from.

Rows may be added since: none may be fewer.
"""

import tomllib
from collections import Counter

import pytest

from tankward.knowledge.loader import FOLDER

THINGS = {
    "substances": 60, "organisms": 23, "causes": 50, "signs": 76, "animals": 67, "plants": 24,
    "bacteria": 3, "groups": 31, "feeds": 10,
}  # fmt: skip

SUBSTANCE_ROWS = {
    "ceiling": 1, "contradiction": 42, "effect": 337, "form": 31, "interaction": 77, "kinetics": 49,
    "law": 161, "potency": 56, "regimen": 199, "sensitivity": 744, "solubility": 30, "stability":
    65, "tolerance": 175,
}  # fmt: skip

ORGANISM_ROWS = {"stage": 80, "kill": 187, "life": 60, "spread": 36, "risk": 3, "prevalence": 4}
ORGANISM_READINGS = {  # more is read of them as time goes by; parameters and kills: test_carried
    "duration": 87, "fecundity": 38, "survival": 40, "infection": 14, "host_effect": 45, "limits": 36,
    "susceptibility": 61,
}  # fmt: skip

CAUSE_ROWS = {"sign": 344, "against": 39, "context": 147, "test": 69, "published": 51}

ANIMAL_ROWS = {"fact": 530, "growth": 25, "growth_point": 2}

HYGIENE = {
    "quarantine": 7, "quarantine_release": 6, "quarantine_fact": 4, "disinfection": 33,
    "disinfection_rule": 7, "acclimation": 8, "change_limit": 13, "stocking": 8, "light": 5, "heat":
    4, "air_flow": 4, "carbon": 7, "uv": 2, "spoon": 12, "powder": 14, "powder_rule": 2,
    "drops_per_ml": 5, "drops_rule": 1, "scale": 4, "syringe": 7, "unit": 9, "human_safety": 23,
    "euthanasia": 8, "disposal": 10, "microscopy": 9, "magnification": 4, "necropsy": 11,
    "lab_sample": 8, "gap": 7, "contradiction": 4,
}  # fmt: skip

FEEDING = {
    "feeding_rate": 16, "feeding_rate_rule": 2, "intake_fact": 5, "share_eaten": 8,
    "household_mass": 7, "binder": 10, "recipe": 8, "recipe_rule": 5, "procedure": 9, "leaching":
    14, "making_loss": 1, "leaching_model": 1, "palatability": 5, "appetite_loss": 5, "fasting": 13,
    "feeding_frequency": 2, "first_food": 3, "worked_example": 5, "gap": 6,
}  # fmt: skip

TABLES = {
    "model/structures.toml": {"structure": 7},
    "model/tank.toml": {"tank": 28 + 2},  # and two rows that stood among the effect words
    "model/effects.toml": {"filter_effect": 6, "oxygen_effect": 6},
    "kits/kits.toml": {"kit": 21},
    "contexts/contexts.toml": {"context": 35},
    "words/several.toml": {"word": 8},
    "words/topics.toml": {"word": 34},
    "surveys/surveys.toml": {"survey": 59},
    "surveys/priors.toml": {"prior_by_group": 26},
    "surveys/tests.toml": {"test_generic": 4},
    "surveys/unknown_cause.toml": {"host_tag": 13},
    "growth/rules.toml": {
        "shape_length_weight": 8,
        "length_weight_rule": 5,
        "metabolic_rule": 8,
        "growth_rule": 1,
    },
    "stages/stages.toml": {"life_stage_rule": 8, "sensitivity_class": 5},
    "interactions/pairs.toml": {"pair": 68},
    "interactions/practice.toml": {"practice": 20},
    "notes/animals.toml": {"contradiction": 8, "gap": 7},
    "water/constants.toml": {"constant": 50},
    "water/equations.toml": {"equation": 39},
    "water/open_questions.toml": {"contradiction": 12, "gap": 19, "trap": 19},
}

WATER_FACTS = 92
ADDED_WATER_FILES = {"keeper.toml"}


def raw(name):
    return tomllib.loads((FOLDER / name).read_text(encoding="utf-8"))


def rows_in(folder):
    counted = Counter()
    for file in (FOLDER / folder).glob("*.toml"):
        content = tomllib.loads(file.read_text(encoding="utf-8"))
        counted.update({table: len(rows) for table, rows in content.items() if isinstance(rows, list)})
    return counted


@pytest.mark.parametrize(("folder", "number"), THINGS.items())
def test_things(facts, folder, number):
    assert len(getattr(facts, folder)) == number


@pytest.mark.parametrize(
    ("folder", "tables"),
    [
        ("substances", SUBSTANCE_ROWS),
        ("organisms", ORGANISM_ROWS),
        ("causes", CAUSE_ROWS),
        ("animals", ANIMAL_ROWS),
        ("signs", {"word": 66}),
        ("hygiene", HYGIENE),
        ("feeding", FEEDING),
    ],
)
def test_rows_of_things(folder, tables):
    counted = rows_in(folder)
    assert {
        table: (counted[table], number) for table, number in tables.items() if counted[table] < number
    } == {}


def test_no_reading_of_an_organism_was_lost():
    counted = rows_in("organisms")
    assert all(counted[table] >= number for table, number in ORGANISM_READINGS.items())


@pytest.mark.parametrize(("name", "tables"), TABLES.items())
def test_rows_of_tables(name, tables):
    content = raw(name)
    assert {t: len(content[t]) for t, number in tables.items() if len(content[t]) < number} == {}


def test_rows_that_may_stand_with_an_animal_or_apart():
    """33 of reproduction, 6 and 5 of breathing: of the species with a file, and of others."""
    own, others = rows_in("animals"), rows_in("growth")
    counted = [own[t] + others[t] for t in ("reproduction", "metabolic_rate", "metabolic_point")]
    assert counted == [33, 6, 5]


def test_water_facts():
    files = [f for f in (FOLDER / "water").glob("*.toml") if f.name not in ADDED_WATER_FILES]
    facts = [tomllib.loads(f.read_text(encoding="utf-8")).get("fact", []) for f in files]
    assert sum(map(len, facts)) == WATER_FACTS


def test_words_are_all_there(facts):
    own = sum(len(sign.word) for sign in facts.signs.values())
    assert own + len(facts.tables.word) == 110  # 108 of the collection, two of the plainest since


def test_every_sign_has_a_plain_word(facts):
    spoken = {sign for sign, row in facts.signs.items() if row.word}
    spoken |= {sign for word in facts.tables.word for sign in word.signs}
    assert spoken == set(facts.signs)


def test_use_of_the_substances(facts):
    assert Counter(s.use for s in facts.substances.values()) == {
        "hazard": 5, "historic": 2, "keeper": 27, "vet": 26,
    }  # fmt: skip


def test_joins_of_the_substances(facts):
    regimens = [r for s in facts.substances.values() for r in s.regimen]
    tolerances = [t for s in facts.substances.values() for t in s.tolerance]
    assert sum(bool(r.treats or r.relieves) for r in regimens) == 157
    assert sum(bool(t.applies_to) for t in tolerances) == 80


def test_statuses_were_carried(facts):
    tolerances = Counter(t.status for s in facts.substances.values() for t in s.tolerance)
    assert tolerances == {"published-read": 173, "memory": 2}
    traits = Counter(t.status for a in facts.animals.values() for t in a.fact)
    assert traits == {"published-read": 381, "memory": 146, "common-practice": 3}


def test_classes_of_sensitivity_were_carried(facts):
    classes = Counter(row.cls for s in facts.substances.values() for row in s.sensitivity)
    assert classes == {"ok": 362, "caution": 231, "avoid": 101, "lethal": 26, "unknown": 24}


def test_losses(facts):
    with_loss = [s for s in facts.substances.values() if s.loss]
    combined = {s.id for s in facts.substances.values() if s.parts}
    assert len(with_loss) == 39
    assert combined == {"formalin_malachite", "metronidazole_praziquantel"}


def test_every_group_has_a_word_on_every_substance_that_has_any(facts):
    for substance in facts.substances.values():
        if substance.sensitivity:
            assert {row.group for row in substance.sensitivity} == set(facts.groups), substance.id


def test_what_is_recommended_in_water_or_food_has_a_loss(facts):
    wet = ("water_long", "water_bath", "feed", "dip")
    for substance in facts.substances.values():
        if any(r.recommended and r.route in wet for r in substance.regimen):
            assert substance.loss or substance.parts, substance.id
