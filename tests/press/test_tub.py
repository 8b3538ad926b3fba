"""The hospital tub: the reference case of rule 22, the card's numbers against calc, who must not get what."""

import re
from datetime import UTC, datetime

import pytest

from tankward.desk.calculations import CALCULATIONS
from tankward.desk.tub import tub_wanted
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, Refused
from tankward.quantities.parse import Taste
from tankward.room.replay import Room
from tankward.treat.husbandry.tub import WAITS_D

NOW = datetime(2026, 5, 14, 18, 0, tzinfo=UTC)
FACTS = load()
REFERENCE = {
    "fish": "4 g", "volume": "10 L", "food": "1 %", "protein": "45 %", "ph": "7.8", "temp": "25 C",
}  # fmt: skip


def calc(**given):
    return CALCULATIONS["tub"].run({**REFERENCE, **given})


def also(answer, name):
    return next(n for n in answer.also if n.name == name)


def wanted(**typed):
    return tub_wanted(Room(), "", typed, NOW, FACTS, Taste())


def test_rule_22_the_reference_case():
    """4 g in 10 L fed 1 %: 0.17 mg/L a day; pH 7.8, 25 °C, half daily holds NH3-N at 0.011 mg/L."""
    answer = calc()
    assert answer.value == pytest.approx(0.17, abs=0.005)
    assert also(answer, "the poisonous part before a change").value == pytest.approx(0.011, abs=0.0005)
    assert also(answer, "days from change to change").value == 1
    assert also(answer, "water of each change").value == 5
    assert also(answer, "fish in a litre").value == pytest.approx(0.4)


def test_it_is_the_same_ammonia_as_calc_ammonia_made():
    made = CALCULATIONS["ammonia-made"].run({"food": "40 mg", "protein": "45 %", "volume": "10 L"})
    assert calc().value == pytest.approx(also(made, "rise of total ammonia").value)


@pytest.mark.parametrize("ph", ["6.5", "7.4", "7.8", "8.2", "8.6"])
@pytest.mark.parametrize("fish", ["0.5 g", "2 g", "5 g"])
def test_the_bound_holds_with_the_high_end_or_it_says_that_it_does_not(fish, ph):
    answer = calc(fish=fish, ph=ph)
    nh3, wait = also(answer, "the poisonous part before a change"), also(answer, "days from change to change")
    assert wait.value in WAITS_D
    if nh3.high > 0.02:
        assert any("not enough" in c for c in answer.cautions)
        assert wait.value == WAITS_D[-1]
    longer = [w for w in WAITS_D if w > wait.value]
    if longer:  # the next longer wait would not have held it
        assert nh3.high * min(longer) / wait.value > 0.02


def test_the_least_tub_holds_the_bound_with_half_a_change_a_day():
    answer = calc(volume="dont-know")
    assert also(answer, "days from change to change").value >= 1
    assert also(answer, "the poisonous part before a change").high <= 0.02
    assert also(answer, "fish in a litre").value <= 0.5


def test_what_is_not_known_is_counted_at_the_cautious_value():
    known, unknown = wanted(**REFERENCE), wanted(fish="4 g", volume="10 L", ph="dont-know")
    assert unknown.plan.nh3_n_mg_l / unknown.plan.wait_days > known.plan.nh3_n_mg_l / known.plan.wait_days
    assert (unknown.plan.ph, unknown.plan.temp_c) == (8.2, 28.0)
    assert any("pH is not known" in a for a in unknown.answer.assumes)


def test_a_range_is_counted_at_its_harder_end():
    assert wanted(fish="3-4 g", volume="9-11 L", ph="7.2-7.8").plan.fish_g == pytest.approx(4)
    plan = wanted(fish="3-4 g", volume="9-11 L", ph="7.2-7.8").plan
    assert (plan.volume_l, plan.ph) == (9, 7.8)


def test_fish_by_number_and_length_are_counted_at_the_heavy_end():
    found = wanted(animals="3 cherry barb 3 cm", volume="10 L")
    assert found.plan.fish_g > found.likely_g > 0
    counted = CALCULATIONS["tub"].run({"fish": f"{found.plan.fish_g} g", "volume": "10 L"})
    assert counted.value == pytest.approx(found.answer.value)


def test_fish_without_a_length_are_as_long_as_their_kind_grows():
    assert (
        wanted(animals="3 cherry barb", volume="10 L").plan.fish_g
        > wanted(animals="3 cherry barb 2 cm", volume="10 L").plan.fish_g
    )


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({}, "animals"),
        ({"animals": "3 unknown"}, "animals"),
        ({"animals": "3 griffins 3 cm"}, "animals"),
        ({"fish": "0 g"}, "fish"),
        ({"fish": "4"}, "fish"),
        ({"fish": "4 g", "volume": "ten"}, "volume"),
        ({"fish": "4 g", "ph": "17"}, "ph"),
        ({"fish": "4 g", "food": "150 %"}, "food"),
        ({"fish": "4 g", "medicine": "praziquantel"}, "level"),
        ({"fish": "4 g", "medicine": "unobtainium", "level": "2 mg/L"}, "substance"),
    ],
)
def test_bad_input_is_one_sentence_naming_the_field(typed, field):
    with pytest.raises(BadInput) as fault:
        wanted(**typed)
    assert fault.value.field == field


def test_what_is_put_back_is_that_of_calc_redose_at_both_ends():
    found = wanted(**REFERENCE, medicine="praziquantel", level="2 mg/L", strength="90 mg per sachet")
    back = CALCULATIONS["redose"].run(
        {"level": "2 mg/L", "volume": "10 L", "change": "50 %", "strength": "90 mg per sachet"}
    )
    assert found.medicine.back == back
    assert back.value == pytest.approx(10)
    assert also(back, "if it has gone").value == pytest.approx(20)


def test_rule_1_copper_and_shrimp_are_refused_in_a_tub_too():
    with pytest.raises(Refused, match="copper kills cherry shrimp"):
        wanted(animals="3 cherry shrimp 2 cm", volume="10 L", medicine="copper", level="0.2 mg/L")


def test_a_level_above_the_ceiling_is_refused():
    with pytest.raises(Refused):
        wanted(animals="3 cherry barb 3 cm", volume="10 L", medicine="metronidazole", level="40 mg/L")


def test_no_sentence_names_a_number_that_nobody_can_measure():
    assert not re.search(r"\d\.\d{4,}", calc().says)
