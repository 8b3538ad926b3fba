"""Level, mass and water; what to put back; what washes out and climbs."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankward.quantities.faults import BadInput
from tankward.treat.amounts.calc.dosing import dose, level
from tankward.treat.amounts.calc.put_back import redose
from tankward.treat.amounts.fading import changes_needed, half_life_h, peaks, tends_to, washed_out
from tankward.treat.amounts.put_back import restoring_mg
from tests.water.ask import ask

positive = st.floats(0.01, 1e4)
share = st.floats(0.0, 0.99)


def also(answer, name):
    return next(n for n in answer.also if n.name == name)


def test_levamisole_for_the_thin_livebearers():
    """Case 1: 2 mg/L in 63 L is 126 mg as the hydrochloride."""
    assert dose.run({"level": "2 mg/L", "volume": "63 L"}).value == pytest.approx(126)


@pytest.mark.parametrize(
    ("sachets", "metronidazole", "praziquantel"), [(1, 3.8, 1.3), (1.5, 5.7, 1.9), (2, 7.6, 2.5)]
)
def test_sachets_in_63_litres(sachets, metronidazole, praziquantel):
    """Case 1: the levels printed for 1, 1½ and 2 sachets of 240 and 80 mg."""
    for mg, printed in ((240, metronidazole), (80, praziquantel)):
        given = {"amount": f"{sachets} sachets", "volume": "63 L", "strength": f"{mg} mg per sachet"}
        assert round(level.run(given).value, 1) == printed


def test_a_range_of_water_gives_a_range_of_dose():
    answer = dose.run({"level": "2 mg/L", "volume": "44 to 49 L"})
    assert 88 <= answer.low < answer.value < answer.high <= 98


def test_the_dose_in_product():
    answer = dose.run({"level": "2 mg/L", "volume": "50 L", "strength": "200 mg per sachet"})
    assert also(answer, "of the product").shown == "0.5 sachets"
    assert answer.says.startswith("Add 0.5 sachets")


def test_an_amount_without_its_strength_is_asked_about():
    with pytest.raises(BadInput, match="strength"):
        level.run({"amount": "1 sachet", "volume": "40 L"})


def test_an_amount_and_a_strength_of_other_units_are_refused():
    with pytest.raises(BadInput, match="does not go with"):
        level.run({"amount": "5 mL", "volume": "40 L", "strength": "200 mg per sachet"})


def test_put_back_by_measurement():
    """The worked answer of the house: 2 mg/L wanted, 0.9 measured, 30 % of 54 L changed: 74 mg."""
    answer = redose.run({"level": "2mg/L", "now": "0.9mg/L", "volume": "54L", "change": "30%"})
    assert answer.value == pytest.approx((2 - 0.9 * 0.7) * 54)
    assert answer.says == "Put back 74 mg of the active ingredient."


def test_put_back_when_nothing_is_known_gives_both_ends():
    answer = redose.run({"level": "2 mg/L", "volume": "34 L", "change": "50%"})
    assert answer.value == pytest.approx(34)
    assert also(answer, "if it has gone").value == pytest.approx(68)
    assert any("climb towards 4 mg/L" in c for c in answer.cautions)


def test_put_back_by_half_life():
    """Half is left after one half-life, half of it is changed, a quarter remains: 75 % of 68 mg goes in."""
    given = {"level": "2 mg/L", "volume": "34 L", "change": "50%", "half-life": "2 days", "since": "48 h"}
    assert redose.run(given).value == pytest.approx(51)


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"left": "50%", "now": "1 mg/L"}, "now"),
        ({"half-life": "48 h"}, "since"),
        ({"since": "48 h"}, "half-life"),
    ],
)
def test_contradicting_or_half_told_states_are_refused(more, field):
    with pytest.raises(BadInput) as fault:
        redose.run({"level": "2 mg/L", "volume": "34 L", "change": "50%", **more})
    assert fault.value.field == field


def test_no_medicine_is_put_back_into_water_that_is_strong_enough():
    answer = redose.run({"level": "2 mg/L", "now": "5 mg/L", "volume": "34 L", "change": "50%"})
    assert answer.value == 0
    assert "Nothing to put back" in answer.says


def test_the_label_repeated_blindly():
    """Case 1: two sachets every 48 h with half changed and nothing lost."""
    for mg, printed, end in ((240, [7.6, 11.4, 13.3, 14.3], 15.2), (80, [2.5, 3.8, 4.4, 4.8], 5.1)):
        first = 2 * mg / 63
        assert [round(p, 1) for p in peaks(first, 0.5, 4)] == printed
        assert round(tends_to(first, 0.5), 1) == end


@given(level=positive, volume=positive, changed=share, left=st.floats(0, 1))
def test_putting_back_restores_the_level(level, volume, changed, left):
    before = level * left
    mg = restoring_mg(level, before, volume, changed)
    assert before * (1 - changed) + mg / volume == pytest.approx(level)


@given(level=positive, changed=share, kept=st.floats(0, 1), doses=st.integers(1, 30))
def test_peaks_climb_and_never_pass_where_they_tend(level, changed, kept, doses):
    found = peaks(level, changed, doses, kept)
    assert found == sorted(found)
    assert found[-1] <= tends_to(level, changed, kept) * (1 + 1e-9)


@given(level=positive, target=positive, changed=st.floats(0.05, 0.95))
def test_so_many_changes_are_enough_and_one_less_is_not(level, target, changed):
    n = changes_needed(level, target, changed)
    assert level * (1 - changed) ** n <= target * (1 + 1e-6)
    assert n == 0 or level * (1 - changed) ** (n - 1) > target * (1 - 1e-6)


@given(level=positive, shares=st.lists(share, min_size=1, max_size=8))
def test_changes_multiply_whatever_their_order(level, shares):
    assert washed_out(level, shares)[-1] == pytest.approx(washed_out(level, sorted(shares))[-1])


@given(left=st.floats(0.001, 0.99), hours=st.floats(0.1, 1000))
def test_half_life_gives_back_what_was_left(left, hours):
    assert 0.5 ** (hours / half_life_h(left, hours)) == pytest.approx(left)


def test_formalin_in_mg_per_litre_is_asked_back():
    """15 mg/L of formaldehyde is 41 uL/L of the solution: over the highest published 25."""
    with pytest.raises(BadInput, match="uL of the 37 % solution"):
        ask("dose", level="15 mg/L", volume="58 L", substance="formalin")
    assert ask("dose", level="15 uL/L", volume="58 L", substance="formalin").value == pytest.approx(
        322, abs=1
    )
