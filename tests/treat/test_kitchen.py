"""From milligrams to a kitchen: rule 10's "nobody weighs what a scale can't", for every food and scale."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.things import Kit
from tankward.treat.amounts.food import FoodPlan, medicated_food
from tankward.treat.amounts.food_kinds import KINDS, OIL_G_ML, food_kind, ingredients
from tankward.treat.amounts.kitchen import kitchen, least_batch_g, lost_while_offered, thinned

FACTS = load()
SYRINGES = (1.0, 5.0, 20.0)
approx = pytest.approx


def batch(kind, fish_g, dose=50.0, days=5.0, batch_g=None):
    plan = FoodPlan(
        dose_mg_kg_day=dose,
        biomass_g=fish_g,
        ration=0.01,
        ration_low=0.005,
        ration_high=0.015,
        days=days,
        dry_moisture=kind.dry_moisture,
        moisture=kind.moisture,
        batch_g=batch_g,
    )
    return medicated_food(plan)


def made(word, fish_g, substance, scale_g):
    kit, kind = Kit(scale_g=scale_g, syringes_ml=SYRINGES), food_kind(word, FACTS)
    least = max(least_batch_g(kit), batch(kind, fish_g).batch_g)
    food = batch(kind, fish_g, batch_g=least)
    one = FACTS.substances[substance]
    return food, kitchen(food, kind, 5.0, kit, FACTS, one=one, product_mg=food.batch_mg)


@given(
    word=st.sampled_from(tuple(KINDS)),
    fish_g=st.floats(0.2, 2000),
    substance=st.sampled_from(("metronidazole", "praziquantel", "fenbendazole", "levamisole")),
    scale_g=st.sampled_from((0.01, 0.1, 1.0)),
)
def test_rule_10_nothing_lighter_than_ten_steps_of_the_scale_is_weighed(word, fish_g, substance, scale_g):
    _, plan = made(word, fish_g, substance, scale_g)
    ten = 10 * scale_g * (1 - 1e-6)
    weighed = [i.amount for i in plan.ingredients if i.unit == "g" and i.what == "gelatine"]
    weighed += [m for mix in plan.mixes for m in (mix.take_g, mix.with_g)]
    weighed += [x for x in (plan.weigh_g, plan.mix_g, plan.portions.halved_g) if x is not None]
    if plan.measured is not None and plan.measured.batch is not None:
        weighed.append(plan.measured.batch.take / 1000.0)
    elif plan.measured is not None:
        weighed.append(plan.measured.amount / 1000.0)
    assert weighed and min(weighed) >= ten
    assert 0 < plan.off < 0.5


@given(
    mg=st.floats(1, 900),
    scale_g=st.sampled_from((0.01, 0.1)),
)
def test_thinning_in_ground_food_brings_in_what_was_wanted(mg, scale_g):
    """What the last mix holds, times how much of it goes in, is the drug within its own error."""
    weigh, mixes, part, off = thinned(mg, Kit(scale_g=scale_g))
    share = 1.0
    for mix in mixes:
        share *= mix.take_g / (mix.take_g + mix.with_g)
    assert share * part * 1000.0 == approx(mg, rel=off)
    assert weigh == approx(10 * scale_g)


@pytest.mark.parametrize("word", tuple(KINDS))
def test_a_batch_weighs_what_goes_into_it(word):
    parts = ingredients(food_kind(word, FACTS), 100.0)
    grams = sum(i.amount * (OIL_G_ML if i.what == "oil" else 1.0) for i in parts)
    assert grams == approx(100.0)


def test_a_gel_of_75_percent_water_holds_a_quarter_of_dry_matter():
    """100 g: 5 g of gelatine (a tenth of it water) and ground flakes (7.5 % water) make 25 g dry."""
    parts = {i.what: i.amount for i in ingredients(food_kind("gel", FACTS), 100.0)}
    assert parts["gelatine"] * 0.9 + parts["dry-food"] * 0.925 == approx(25.0)


def test_case_1_as_gel_one_sachet_makes_180_grams():
    """8.3 g of fish, 50 mg/kg/day, 1 %: 240 mg make 48 g of dry food or about 180 g of gel."""
    food = batch(food_kind("gel", FACTS), 8.3)
    assert 240 / food.strength_mg_g == approx(180.0, rel=0.02)


def test_an_oil_coat_loses_11_3_percent_in_5_minutes():
    """Worked example w5 of the reference: 1 - exp(-0.024 x 5)."""
    assert lost_while_offered(food_kind("flakes", FACTS))[1] == approx(0.113, abs=0.0005)


def test_what_is_not_known_to_dissolve_never_goes_through_a_bottle():
    """Fenbendazole has no solubility here: it would lie on the floor of a bottle."""
    _, plan = made("gel", 8.0, "fenbendazole", 0.1)
    assert plan.measured is None and plan.mixes
    _, plan = made("gel", 8.0, "metronidazole", 0.1)
    assert plan.measured.batch is not None and not plan.mixes


def test_dry_food_for_one_meal_is_halved_from_what_can_be_weighed():
    _, plan = made("flakes", 7.6, "metronidazole", 0.1)
    p = plan.portions
    assert p.halved_g >= 1.0
    assert p.halved_g / 2**p.halvings == approx(p.meal_g)
    assert 2**p.halvings >= p.count


def test_a_gel_meal_is_a_square_of_its_own_weight():
    _, plan = made("gel", 7.6, "metronidazole", 0.1)
    p = plan.portions
    assert (p.edge_mm / 10) ** 2 * 0.5 * p.pieces_each == approx(p.meal_g)
    assert p.sheet_cm**2 * 0.5 == approx(plan.batch_g)


@pytest.mark.parametrize(("word", "moisture"), [("cake", None), ("gel", 0.99), ("gel", -0.1)])
def test_a_food_that_is_none(word, moisture):
    with pytest.raises(BadInput):
        food_kind(word, FACTS, moisture)
