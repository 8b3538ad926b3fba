"""Answers that need the facts: weight, breath, copper, and the same in another name."""

from __future__ import annotations

import pytest

from tankward.quantities.faults import BadInput, Refused
from tests.water.ask import also, ask


def test_weight_of_a_group():
    """10 × 0.008511 × 3^3.15 = 2.71 g."""
    answer = ask("biomass", number="10", length="3 cm", animal="guppy")
    assert answer.value == pytest.approx(2.71, abs=0.01)
    assert answer.high / answer.value == pytest.approx(10 ** (1.645 * 0.187), rel=1e-3)


def test_weight_by_shape_alone():
    """Shell height 2 cm: 0.25 × 8 = 2 g."""
    assert ask("biomass", number="4", length="2 cm", shape="snail").value == pytest.approx(8.0)


def test_a_guess_of_the_number_widens_the_answer():
    sure = ask("biomass", number="40", length="3 cm")
    guessed = ask("biomass", number="about 40", length="3 cm")
    assert guessed.low < sure.low < sure.high < guessed.high


def test_breath_of_a_tank():
    """CLARKE99 at 25 °C: 0.3207 mmol/h at 50 g, so 10.26 × (M/50)^0.79 mg/h; half as much again when fed."""
    answer = ask("oxygen-use", animals="10 guppies 3 cm", temp="25C")
    one = 0.3207 * 31.998 * (0.271 / 50) ** 0.79
    assert also(answer, "all at rest") == pytest.approx(10 * one, rel=2e-3)
    assert answer.value == pytest.approx(1.5 * also(answer, "all at rest"))
    assert (answer.low, answer.high) == pytest.approx((5 * one, 30 * one), rel=2e-3)


def test_each_group_s_breath_is_shown():
    answer = ask("oxygen-use", animals="18 cherry_barb 3.5cm; 30 cherry_shrimp", temp="25C")
    parts = [n.value for n in answer.also[1:]]
    assert sum(parts) == pytest.approx(answer.value)
    assert any("full grown" in a for a in answer.assumes)
    assert any("rough guide" in c for c in answer.cautions)


def test_fry_without_a_length_are_asked_for_it():
    with pytest.raises(BadInput, match="has no length"):
        ask("oxygen-use", animals="30 guppy fry", temp="25C")


def test_copper_by_alkalinity():
    """4 dKH is 71.4 mg/L: 0.71 mg/L sulfate, 0.18 copper; 58 L take 41 mg of the pentahydrate."""
    answer = ask("copper", alkalinity="4 dKH", volume="58 L")
    assert answer.value == pytest.approx(0.714, abs=1e-3)
    assert also(answer, "as Cu") == pytest.approx(0.1817, abs=1e-3)
    assert also(answer, "copper sulfate, pentahydrate") == pytest.approx(41.4, abs=0.1)


def test_the_anhydrous_salt_holds_more_copper():
    answer = ask("copper", alkalinity="4 dKH", volume="58 L", form="anhydrous")
    assert also(answer, "copper sulfate, anhydrous") == pytest.approx(41.4 * 0.2545 / 0.3982, abs=0.1)


def test_copper_never_goes_over_its_cap():
    assert ask("copper", alkalinity="400 mg/L CaCO3", volume="10 L").value == 2.5


@pytest.mark.parametrize(
    ("given", "kinds"),
    [
        ({"alkalinity": "49 mg/L CaCO3"}, ["soft_water"]),
        ({"alkalinity": "5 dKH", "animals": "30 cherry_shrimp"}, ["not_borne"]),
        ({"alkalinity": "5 dKH", "animals": "2 nerite snails; 6 guppies"}, ["not_borne"]),
        ({"alkalinity": "1 dKH", "animals": "1 ramshorn"}, ["soft_water", "not_borne"]),
    ],
)
def test_copper_is_refused_where_it_kills(given, kinds):
    with pytest.raises(Refused) as refusal:
        ask("copper", volume="50 L", **given)
    assert [r.kind for r in refusal.value.reasons] == kinds
    assert all(r.would_change for r in refusal.value.reasons)


def test_fish_alone_may_get_copper():
    assert ask("copper", alkalinity="5 dKH", volume="50 L", animals="6 guppies").value > 0


@pytest.mark.parametrize(
    ("amount", "to", "substance", "value", "unit"),
    [
        ("10 US gal", "L", "", 37.854, "L"),
        ("5 dKH", "mg/L CaCO3", "", 89.24, "mg/L CaCO3"),
        ("79F", "C", "", 26.11, "C"),
        ("26C", "F", "", 78.8, "F"),
        ("1 mg/L as N", "mg/L as NO2", "", 3.284, "mg/L as NO2"),
        ("30.2 mg/L as NO2", "N", "", 9.195, "mg/L as N"),
        ("3%", "g/L", "", 30.0, "g/L"),
        ("40 mg", "levamisole", "levamisole hydrochloride", 33.94, "mg as levamisole"),
        ("126 mg", "hydrochloride", "levamisole", 148.5, "mg as hydrochloride"),
        ("1.5 mg/L", "copper", "copper sulfate pentahydrate", 0.3818, "mg/L as copper"),
        ("0.15 mg/L as Cu", "pentahydrate", "copper", 0.5894, "mg/L as pentahydrate"),
        ("1 g", "MgSO4", "MgSO4.7H2O", 488.3, "mg as MgSO4"),
        ("1 g", "Mg", "MgSO4.7H2O", 98.6, "mg as Mg"),
        ("10 g", "anhydrous", "sodium thiosulfate", 6370, "mg as anhydrous"),
        ("25 uL/L", "mg/L", "formalin", 9.25, "mg/L as formaldehyde"),
    ],
)
def test_the_same_in_another_name(amount, to, substance, value, unit):
    answer = ask("convert", amount=amount, to=to, substance=substance)
    assert answer.value == pytest.approx(value, rel=1e-3)
    assert answer.unit == unit


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"amount": "10 gal", "to": "L"}, "US gal or imp gal"),
        ({"amount": "10 L", "to": "gal"}, "US gal or imp gal"),
        ({"amount": "1 g", "to": "mL"}, "can't be turned into mL"),
        ({"amount": "25 uL/L", "to": "mg/L"}, "only formalin"),
        ({"amount": "1 g", "to": "copper"}, "needs the substance"),
        ({"amount": "1 g", "to": "copper", "substance": "copper"}, "pentahydrate or anhydrous"),
        ({"amount": "1 g", "to": "base", "substance": "formalin"}, "no salts or hydrates"),
        ({"amount": "1 g", "to": "K", "substance": "NaCl"}, "neither a hydrate nor an element"),
    ],
)
def test_what_cannot_be_turned_says_why(given, words):
    with pytest.raises(BadInput) as fault:
        ask("convert", **given)
    assert words in str(fault.value)


def test_a_gram_of_copper_sulfate_is_never_taken_for_a_gram_of_copper():
    """1 g of copper is 3.9 g of the pentahydrate; 1 g of a sulfate that nobody named is neither."""
    with pytest.raises(BadInput, match="leaves it open"):
        ask("convert", amount="1 g", to="pentahydrate", substance="copper_sulfate")
    found = ask("convert", amount="1 g", to="copper sulfate pentahydrate", substance="copper")
    assert found.value == pytest.approx(3929, rel=1e-3)
