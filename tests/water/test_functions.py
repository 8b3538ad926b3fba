"""The pure functions: on arrays, at the ends of their ranges, and in the right order of size."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, OutOfRange
from tankward.room.volume import WORDS, porosity
from tankward.water import (
    ammonia,
    animals,
    atoms,
    carbonate,
    chlorine,
    copper,
    hardness,
    mixing,
    naming,
    nitrogen,
    oxygen,
    physics,
    volume,
)
from tankward.water.calc import food, tracer

PH = st.floats(6.0, 9.0)
TEMP = st.floats(4.0, 36.0)


def test_arrays_give_what_numbers_give():
    ph, temp = np.array([6.5, 7.0, 8.0]), np.array([18.0, 24.0, 30.0])
    one_by_one = [ammonia.unionised_share(p, t) for p, t in zip(ph, temp, strict=True)]
    assert ammonia.unionised_share(ph, temp) == pytest.approx(one_by_one)
    aerated = [carbonate.ph_at_pco2(a, 25.0, -3.2) for a in (0.5, 1.0, 3.0)]
    assert carbonate.ph_at_pco2(np.array([0.5, 1.0, 3.0]), 25.0, -3.2) == pytest.approx(aerated)


def test_the_bare_formulas_are_those_with_a_range():
    assert ammonia.unionised_share_formula(7.6, 25.0) == ammonia.unionised_share(7.6, 25.0)
    assert oxygen.oxygen_saturation_formula(25.0) == oxygen.oxygen_saturation(25.0)


@given(PH, TEMP)
def test_more_ph_is_more_poison(ph, temp):
    assert ammonia.unionised_share(ph + 0.1, temp) > ammonia.unionised_share(ph, temp)
    assert ammonia.unionised_share(ph, temp + 1) > ammonia.unionised_share(ph, temp)
    assert 0 < ammonia.unionised_share(ph, temp) < 1


@given(st.floats(4, 35), st.floats(0, 5), st.floats(600, 1050))
def test_warm_salty_and_high_water_holds_less_oxygen(temp, salt, pressure):
    here = oxygen.oxygen_saturation(temp, salt, pressure)
    assert oxygen.oxygen_saturation(temp + 1, salt, pressure) < here
    assert oxygen.oxygen_saturation(temp, salt + 1, pressure) < here
    assert oxygen.oxygen_saturation(temp, salt, pressure - 10) < here


@given(st.floats(0.3, 6.0), st.floats(0.0, 0.25), TEMP)
def test_acid_in_closed_water_is_worse_than_in_aerated(alkalinity, acid, temp):
    closed = carbonate.ph_after_acid_closed(alkalinity, acid, temp, -3.2)
    assert closed <= carbonate.ph_at_pco2(alkalinity - acid, temp, -3.2) + 1e-6


@given(st.floats(0, 1), st.floats(0, 40), st.floats(0, 40))
def test_a_mixture_lies_between(share, one, other):
    assert min(one, other) - 1e-9 <= mixing.mixture(one, other, share) <= max(one, other) + 1e-9


def test_air_never_gives_water_back():
    assert physics.evaporation_kg_h(1.0, 0.1, 0.010, 0.020) == 0.0


@pytest.mark.parametrize(
    ("outside", "name"),
    [
        (lambda: ammonia.unionised_share(4.9, 25.0), "ph"),
        (lambda: ammonia.unionised_share(np.array([7.0, 12.0]), 25.0), "ph"),
        (lambda: ammonia.unionised_share(7.0, 51.0), "temp"),
        (lambda: ammonia.unionised_share(7.0, 25.0, 0.2), "ionic strength"),
        (lambda: ammonia.unionised_share(float("nan"), 25.0), "ph"),
        (lambda: ammonia.acute_criterion(9.1, 20.0), "ph"),
        (lambda: ammonia.chronic_criterion(7.0, 31.0), "temp"),
        (lambda: oxygen.oxygen_saturation(41.0), "temp"),
        (lambda: oxygen.oxygen_saturation(20.0, 0.0, 400.0), "pressure"),
        (lambda: oxygen.pressure_at_altitude(12_000.0), "altitude"),
        (lambda: copper.sulfate_by_alkalinity_mg_l(49.9), "alkalinity"),
        (lambda: copper.acute_criterion_mg_l(10.0), "hardness"),
        (lambda: animals.resting_oxygen_mg_h(1.0, 45.0), "temp"),
    ],
)
def test_a_formula_stops_where_its_source_stops(outside, name):
    with pytest.raises(OutOfRange) as fault:
        outside()
    assert fault.value.field == name
    assert "where the formula holds" in str(fault.value)


def test_copper_criterion_by_hardness():
    """CFR132: 13.4 µg/L at hardness 100, 3.6 at 25."""
    assert copper.acute_criterion_mg_l(100.0) * 1000 == pytest.approx(13.4, abs=0.05)
    assert copper.acute_criterion_mg_l(25.0) * 1000 == pytest.approx(3.6, abs=0.05)


def test_nitrifiers_slow_down_in_acid_water():
    """1 − 0.833 × 0.7 = 0.417 at pH 6.5; never more than all, never less than none."""
    assert nitrogen.nitrifier_ph_factor(np.array([5.0, 6.5, 7.2, 8.0])) == pytest.approx([0, 0.4169, 1, 1])


def test_pace_of_gas_through_a_still_surface():
    """COLE98: about 2.07 cm/h; over 30 cm that is 0.07 an hour, and 1.024 more for each degree over 20 °C."""
    kla = physics.kla_from_surface(physics.gas_velocity_cm_h(2.07, still=True), 1800.0, 54.0)
    assert kla == pytest.approx(0.075, abs=0.002)
    assert physics.kla_at(kla, 25.0) / kla == pytest.approx(1.024**5)


def test_formulas_that_mean_nothing_are_refused():
    for wrong in ("", "Xy2", "NaCl?", "water"):
        with pytest.raises(BadInput):
            atoms.molar_mass(wrong)
    assert not naming.is_formula("Xy")
    with pytest.raises(BadInput):
        naming.formula_factor("NaCl", "MgSO4")
    with pytest.raises(BadInput):
        hardness.caco3(1.0, "spoons")
    with pytest.raises(BadInput):
        chlorine.dechlorination_mg(1.0, "vinegar")


def test_what_is_left_of_food_rots_into_more():
    assert nitrogen.ammonia_from_decay(100.0, 0.4) == pytest.approx(6.4)


def test_factors_of_a_name_are_each_other_s_inverse():
    there = naming.formula_factor("CuSO4.5H2O", "Cu")
    assert there == pytest.approx(0.2545, abs=1e-4)
    assert naming.formula_factor("Cu", "CuSO4.5H2O") == pytest.approx(1 / there)


@pytest.mark.parametrize(
    ("ours", "fact"),
    [
        (volume.TAPE, "keeper.tape"),
        (volume.WATER_LINE_CM, "keeper.water_line"),
        (volume.SUBSTRATE_CM, "keeper.bed"),
        (volume.SOLIDS, "keeper.solids"),
        (tracer.WITH_JAR, "keeper.meter"),
        (food.NH3_TO_ACT_AT, "nh3.act"),
    ],
)
def test_a_keeper_s_errors_are_those_of_the_facts(ours, fact):
    assert ours == next(f.value for f in load().water.fact if f.id == fact)


@pytest.mark.parametrize("grain", [*WORDS, "0.5 mm", "1-2 mm", "8 mm", ""])
def test_every_bed_has_likely_between_low_and_high(grain):
    bed = porosity(grain)
    assert 0.15 < bed.low < bed.value <= bed.high < 0.5
