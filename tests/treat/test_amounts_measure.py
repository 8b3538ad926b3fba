"""What this keeper can measure; nobody is asked to weigh 0.006 g."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, Refused
from tankward.room.things import Kit, Spoon
from tankward.treat.amounts.batch import food_batch
from tankward.treat.amounts.calc.measure import measure
from tankward.treat.amounts.measure import measurable
from tankward.treat.amounts.tools import COMMON_KIT, syringe_step_ml

FACTS = load()
SALT = FACTS.substances["sodium_chloride"]
METRONIDAZOLE = FACTS.substances["metronidazole"]
PRAZIQUANTEL = FACTS.substances["praziquantel"]


@pytest.mark.parametrize(
    ("size", "mark"), [(0.5, 0.01), (1, 0.02), (2.5, 0.1), (5, 0.2), (10, 0.5), (20, 1.0)]
)
def test_marks_of_syringes_are_those_of_the_facts(size, mark):
    assert syringe_step_ml(size, FACTS) == pytest.approx(mark)


def test_salt_for_the_loaches_on_the_scale():
    """Case 2: 116 g, to the 0.1 g of the scale."""
    found = measurable(116_000, "mg", COMMON_KIT, FACTS, SALT)
    assert (found.tool, found.amount) == ("scale", 116_000)
    assert (found.low, found.high) == (115_900, 116_100)


def test_a_spoon_that_was_weighed_once_beats_the_book():
    kit = Kit(spoons=(Spoon(name="blue scoop", volume_ml=5, grams={"sodium_chloride": 7.0}),))
    found = measurable(21_000, "mg", kit, FACTS, SALT)
    assert (found.tool, found.tool_name, found.count, found.amount) == ("spoon", "blue scoop", 3, 21_000)


def test_six_thousandths_of_a_gram_are_never_weighed():
    found = measurable(6, "mg", COMMON_KIT, FACTS, METRONIDAZOLE)
    assert found.tool == "batch"
    assert found.batch.take >= 1000
    assert found.batch.take_unit == "mg"
    assert found.batch.give == pytest.approx(6, rel=0.1)


@given(mg=st.floats(0.001, 1e6))
def test_nothing_under_ten_steps_of_the_scale_is_weighed(mg):
    found = measurable(mg, "mg", COMMON_KIT, FACTS, METRONIDAZOLE)
    weighed = found.batch.take if found.batch else found.amount if found.tool == "scale" else None
    assert weighed is None or weighed >= 999.999


@given(mg=st.floats(0.01, 1e6))
def test_what_is_given_lies_near_what_was_wanted(mg):
    found = measurable(mg, "mg", COMMON_KIT, FACTS, METRONIDAZOLE)
    assert found.low <= found.amount <= found.high
    assert found.factor == pytest.approx(1, abs=0.12)


def test_seventy_nine_hundredths_of_a_sachet_are_dissolved():
    """0.79 sachet in 400 mL: 84 mL are poured away, 316 mL given."""
    found = measurable(0.79, "sachet", COMMON_KIT, FACTS)
    assert (found.batch.take, found.batch.take_unit, found.batch.into_ml) == (1, "sachet", 400)
    assert found.batch.portion_ml == pytest.approx(316)
    assert found.batch.pour_out_ml == pytest.approx(84)
    assert found.amount == pytest.approx(0.79)


def test_a_packet_that_dissolves_badly_gets_more_water():
    """240 mg at 0.4 g/L needs 600 mL."""
    found = measurable(0.8, "sachet", COMMON_KIT, FACTS, PRAZIQUANTEL, piece_mg=240)
    assert found.batch.into_ml == 600


@pytest.mark.parametrize(("wanted", "given_"), [(1.0, 1.0), (1.506, 1.5), (2.7, 2.5)])
def test_whole_and_half_packets_where_they_come_near(wanted, given_):
    found = measurable(wanted, "tablet", COMMON_KIT, FACTS)
    assert (found.tool, found.amount) == ("piece", given_)


def test_formalin_in_a_one_millilitre_syringe():
    """Case 2: 0.87 mL."""
    found = measurable(0.87e-3, "L", COMMON_KIT, FACTS)
    assert found.tool_name == "1 mL syringe"
    assert found.amount == pytest.approx(0.88e-3)


def test_a_hundredth_of_a_millilitre_is_thinned_first():
    found = measurable(0.01e-3, "L", COMMON_KIT, FACTS)
    assert found.batch.kind == "liquid"
    assert found.batch.give == pytest.approx(0.01e-3)


def test_an_empty_kit_stands_for_the_common_one_and_says_so():
    assert measurable(116_000, "mg", Kit(), FACTS, SALT).assumed_kit
    assert not measurable(116_000, "mg", Kit(scale_g=0.1), FACTS, SALT).assumed_kit


def test_without_scale_or_syringe_nothing_is_made_up():
    kit = Kit(spoons=(Spoon(name="tsp", volume_ml=5),))
    assert measurable(6, "mg", kit, FACTS, METRONIDAZOLE).tool == "none"


def test_food_with_a_drug_too_little_to_weigh():
    """5 mg/g: 1 g of drug would want 200 g of food; thinned once, 1 g of the mix wants 20 g."""
    plan = food_batch(5.0, COMMON_KIT)
    assert (plan.weigh_g, plan.steps, plan.food_g) == (1.0, 1, pytest.approx(20.0))


def test_copper_by_the_spoon_is_refused():
    with pytest.raises(Refused) as no:
        measure.run({"amount": "2 g", "tool": "spoon", "substance": "copper"})
    assert no.value.reasons[0].kind == "spoon"


def test_a_drug_under_a_gram_by_the_spoon_is_refused():
    with pytest.raises(Refused):
        measure.run({"amount": "0.5 g", "tool": "spoon", "substance": "metronidazole"})


@pytest.mark.parametrize(
    ("amount", "tool"),
    [("2 mL", "scale"), ("2 g", "syringe"), ("1 sachet", "spoon"), ("2 g", "sachet"), ("0 g", "scale")],
)
def test_a_tool_that_does_not_measure_such_a_thing(amount, tool):
    with pytest.raises(BadInput):
        measure.run({"amount": amount, "tool": tool, "substance": "sodium chloride"})


def test_drops_are_shown_with_how_much_they_differ():
    """20 drops to the mL by habit; 14 to 50 published."""
    found = measure.run({"amount": "0.5 mL", "tool": "drops"})
    nearest = found.also[0]
    assert (nearest.name, nearest.unit, nearest.value) == ("nearest", "L", pytest.approx(0.0005))
    assert (nearest.low, nearest.high) == (pytest.approx(10 / 50 / 1000), pytest.approx(10 / 14 / 1000))


@pytest.mark.parametrize(
    ("amount", "tool"),
    [
        ("3 g", "scale"),
        ("6 mg", "scale"),
        ("2.3 mL", "syringe"),
        ("0.5 mL", "drops"),
        ("0.8 sachets", "sachet"),
    ],
)
def test_the_unit_is_the_same_for_every_tool(amount, tool):
    """A share of what is wanted; what it is in mg, mL or pieces stands beside it."""
    found = measure.run({"amount": amount, "tool": tool})
    assert found.unit == measure.unit == "%"
    assert found.low <= found.value <= found.high
    assert found.also[0].name == "nearest"


def test_a_batch_is_told_in_a_sentence():
    told = measure.run({"amount": "0.79 sachets", "tool": "sachet"}).says
    assert told == "Dissolve 1 sachet in 400 mL of water. Take 84 mL out and throw it away; give the rest."


def test_what_dissolves_badly_goes_into_a_bucket_and_is_poured_by_the_jug() -> None:
    """93 mg of praziquantel, 0.4 g/L, a 0.1 g scale: 1 g needs 2.5 L, and 93 mg are 232 mL of it."""
    facts = load()
    kit = Kit(scale_g=0.1, syringes_ml=(1.0, 5.0, 20.0))
    found = measurable(93.0, "mg", kit, facts, facts.substances["praziquantel"])
    assert found.batch is not None
    assert (found.batch.take, found.batch.into_ml, found.batch.tool) == (1000.0, 2500.0, "jug")
    assert found.batch.portion_ml == 230.0  # two digits on a jug
    assert found.batch.give == 92.0
