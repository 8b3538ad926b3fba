"""Medicine in food: case 1's sachet, and the traps of milligrams per fish and per food."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankward.quantities.faults import BadInput, Refused
from tankward.treat.amounts.calc.food import feed_dose, medicated_feed
from tankward.treat.amounts.calc.ration import ration
from tankward.treat.amounts.food import FoodPlan, dose_from_food, food_as_fed, medicated_food, strength_mg_g

CASE_1 = {
    "dose": "50 mg/kg/day",
    "biomass": "8.3 g",
    "ration": "1%",
    "days": "5",
    "strength": "240 mg per sachet",
}


def also(answer, name):
    return next(n for n in answer.also if n.name == name).value


def test_the_platies_of_case_1():
    answer = medicated_feed.run({**CASE_1, "substance": "metronidazole"})
    assert also(answer, "active a day") == pytest.approx(0.42, abs=0.005)
    assert also(answer, "food a day") == pytest.approx(0.083, abs=0.0005)
    assert also(answer, "food for 1 sachet") == pytest.approx(48)
    assert answer.value == 240


def test_the_same_as_gel():
    """180 g of gel with 75 % water, to the ten grams that are printed."""
    answer = medicated_feed.run({**CASE_1, "moisture": "75%"})
    assert round(also(answer, "food for 1 sachet"), -1) == 180


def test_rule_10_gel_weighs_3_7_times_the_flakes():
    assert food_as_fed(1.0, 0.075, 0.75) == pytest.approx(3.7)


def test_a_sachet_in_two_grams_is_24_times_too_strong():
    with pytest.raises(Refused, match="24 times"):
        feed_dose.run({"strength": "120 mg/g", "ration": "1%", "substance": "metronidazole"})


def test_rule_10_little_likely_and_much_eaten():
    """They eat about 1 %, 0.5 to 1.5: half and half again as much drug."""
    answer = medicated_feed.run(CASE_1)
    found = [
        also(answer, f"dose when {w}") for w in ("little is eaten", "the ration is eaten", "much is eaten")
    ]
    assert found == pytest.approx([25, 50, 75])


def test_rule_10_a_dose_of_three_times_the_published_is_refused_at_a_good_appetite():
    with pytest.raises(Refused):
        medicated_feed.run({**CASE_1, "dose": "110 mg/kg/day", "substance": "metronidazole"})


def test_the_ration_may_be_weighed():
    weighed = medicated_feed.run({"dose": "50 mg/kg/day", "biomass": "12 g", "ration": "0.4 g", "days": "5"})
    assert also(weighed, "active a day") == pytest.approx(0.6)
    assert also(weighed, "strength of the food") == pytest.approx(1.5)


def test_too_little_to_weigh_is_thinned_and_said():
    weighed = medicated_feed.run({"dose": "50 mg/kg/day", "biomass": "12 g", "ration": "0.4 g", "days": "5"})
    assert any("can't be weighed" in c for c in weighed.cautions)


def test_rule_10_a_part_of_a_packet_is_not_weighed():
    answer = medicated_feed.run({**CASE_1, "batch": "2 g"})
    assert any("whole one is right for 48 g" in c for c in answer.cautions)


def test_a_ration_is_asked_for():
    with pytest.raises(BadInput, match="ration"):
        medicated_feed.run({"dose": "50 mg/kg/day", "biomass": "12 g", "days": "5"})


def test_ration_of_flakes_and_of_gel():
    assert ration.run({"biomass": "8.3 g", "share": "1%"}).value == pytest.approx(0.083)
    assert ration.run({"biomass": "8.3 g", "share": "1%", "moisture": "75%"}).value == pytest.approx(0.3071)


def test_they_eat_half_at_ten_degrees_less():
    cool = ration.run({"biomass": "10 g", "share": "2%", "temp": "16C"})
    assert cool.value == pytest.approx(0.1)


@pytest.mark.parametrize(
    ("mg_g", "share", "dose"),
    [(2.5, 0.01, 25), (10, 0.005, 50), (10, 0.03, 300), (2.5, 0.015, 37.5)],
    ids=["MNZ15", "VM67", "VM67 at 3 %", "worked example w4"],
)
def test_what_a_food_gives(mg_g, share, dose):
    assert dose_from_food(mg_g, share) == pytest.approx(dose)


@given(dose=st.floats(0.01, 500), share=st.floats(0.001, 0.2), lost=st.floats(0, 0.9))
def test_strength_and_dose_are_each_others_inverse(dose, share, lost):
    assert dose_from_food(strength_mg_g(dose, share, lost), share, lost) == pytest.approx(dose)


@given(
    biomass=st.floats(0.1, 1000),
    share=st.floats(0.002, 0.1),
    days=st.floats(1, 14),
    moisture=st.floats(0, 0.9),
)
def test_the_batch_holds_the_drug_of_all_days_whatever_the_food(biomass, share, days, moisture):
    found = medicated_food(
        FoodPlan(
            dose_mg_kg_day=50,
            biomass_g=biomass,
            ration=share,
            ration_low=share / 2,
            ration_high=share * 1.5,
            days=days,
            dry_moisture=0.075,
            moisture=moisture,
            volume_l=40,
        )
    )
    assert found.batch_mg == pytest.approx(50 * biomass / 1000 * days)
    assert found.level_if_leached_mg_l == pytest.approx(found.active_mg_day / 40)
