"""Properties: what is written can be read back; printing never invents digits; ranges are carried through."""

from fractions import Fraction
from typing import Annotated

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.digits import plain_number, shown, shown_range, significant
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import number, quantity
from tankward.quantities.units import UNITS
from tankward.quantities.working import Answer, Named, Working, answer

FIXED = [u for u in UNITS if not u.ask]
amounts = st.decimals(min_value="0.001", max_value="99999", places=3)


@given(value=amounts, unit=st.sampled_from(FIXED))
def test_a_unit_means_its_factor(value, unit):
    assert quantity(f"{value} {unit.name}", unit.dimension).value == pytest.approx(
        float(Fraction(value) * unit.factor)
    )


@given(value=amounts, unit=st.sampled_from([u for u in FIXED if u.also]), data=st.data())
def test_every_spelling_means_the_same(value, unit, data):
    other = data.draw(st.sampled_from(unit.also))
    assert (
        quantity(f"{value} {other}", unit.dimension).value
        == quantity(f"{value} {unit.name}", unit.dimension).value
    )


@given(whole=st.integers(0, 99), top=st.integers(1, 15), bottom=st.integers(2, 16))
def test_mixed_fractions_are_exact(whole, top, bottom):
    assert number(f"{whole} {top}/{bottom}") == whole + Fraction(top, bottom)


@given(whole=st.integers(0, 9999), cents=st.integers(0, 99))
def test_comma_and_point_mean_the_same_with_two_decimals(whole, cents):
    assert number(f"{whole},{cents:02d}") == number(f"{whole}.{cents:02d}")


DIMENSIONS = ["volume", "level", "temperature", "share", "ph", "mass"]


def read(text, dimension):
    """The quantity, or the sentence that refuses it."""
    try:
        return quantity(text, dimension, "thing")
    except BadInput as fault:
        return str(fault)


@given(text=st.text(max_size=30), dimension=st.sampled_from(DIMENSIONS))
def test_anything_typed_is_read_or_refused_in_a_sentence(text, dimension):
    found = read(text, dimension)
    assert found.startswith("thing:") if isinstance(found, str) else found.low <= found.value <= found.high


@given(value=st.floats(1e-5, 1e6))
def test_printing_keeps_two_or_three_digits(value):
    assert float(plain_number(value)) == pytest.approx(value, rel=0.051)


@given(value=st.floats(1e-5, 1e6))
def test_printed_twice_is_printed_the_same(value):
    once = significant(value, 2)
    assert significant(once, 2) == once


@given(value=st.floats(1e-4, 1e7), unit=st.sampled_from(["mg", "L", "mg/L", "C", "h", "sachet", ""]))
def test_what_is_shown_is_the_value(value, unit):
    """No unit may swallow the number: it must lie within its own last digit of the value."""
    text = shown(value, unit)
    assume(not (unit == "C" and value < 0.05))
    head = float(text.split(" ")[0])
    scale = {"kg": 1e6, "g": 1e3, "mg": 1.0, "ug": 1e-3, "mL": 1e-3}.get(text.split(" ")[-1], 1.0)
    assert head * scale == pytest.approx(value, rel=0.051, abs=0.051 if unit == "C" else 0)


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (34.83, "L", "35 L"),
        (0.4, "L", "400 mL"),
        (2700, "mg", "2.7 g"),
        (0.42, "mg", "0.42 mg"),
        (0.0612, "mg/L", "0.061 mg/L"),
        (26.11, "C", "26.1 °C"),
        (1.506, "sachet", "1.5 sachet"),
        (0, "mg", "0 mg"),
        (50, "%", "50%"),
    ],
)
def test_only_digits_that_can_be_measured(value, unit, text):
    assert shown(value, unit) == text


@pytest.mark.parametrize(
    ("low", "high", "unit", "text"),
    [(33.2, 36.9, "L", "33 to 37 L"), (33.1, 33.4, "L", "33 L"), (900, 1100, "mg", "0.9 to 1.1 g")],
)
def test_ranges_have_one_unit(low, high, unit, text):
    assert shown_range(low, high, unit) == text


@calculation("twice", unit="mg", formula="a × b")
def twice(
    a: Annotated[float, Ask("mass", "a", above=0)],
    b: Annotated[float, Ask("number", "b", at_least=0)] = 2.0,
    days: Annotated[float | None, Ask("time", "days")] = None,
    level: Annotated[float | None, Ask("level", "level", or_as=("volume_level", "liquid"))] = None,
    liquid: Annotated[float | None, Ask("volume_level", "liquid")] = None,
) -> Answer:
    """Twice as much."""
    work = Working()
    value = work.step("twice", "a × b", a * b, "mg")
    also = (
        Named.of("half", a / 2, "mg"),
        Named.of("days", (days or 0) / 24),
        Named.of("liquid", liquid or 0, "uL/L"),
    )
    return answer(value, "mg", work, also=also, says="It is {range}.")


@given(low=st.integers(1, 1000), width=st.integers(1, 1000))
def test_a_typed_range_comes_out_as_a_range(low, width):
    found = twice.run({"a": f"{low} to {low + width} mg"})
    assert 2 * low <= found.low < found.value < found.high <= 2 * (low + width)


def test_the_numbers_beside_it_have_their_ranges_too():
    half = twice.run({"a": "10 to 20 mg"}).also[0]
    assert 5 <= half.low < half.value < half.high <= 10


def test_an_input_named_after_a_unit_takes_a_bare_number():
    assert twice.run({"a": "1 mg", "days": "5"}).also[1].value == 5
    assert twice.run({"a": "1 mg", "days": "36 h"}).also[1].value == 1.5


def test_a_level_counted_by_volume_goes_to_its_own_input():
    assert twice.run({"a": "1 mg", "level": "15 uL/L"}).also[2].value == 15
    assert twice.run({"a": "1 mg", "level": "15 mg/L"}).also[2].value == 0


@pytest.mark.parametrize(
    ("given_", "field"),
    [
        ({}, "a"),
        ({"a": ""}, "a"),
        ({"a": "0 mg"}, "a"),
        ({"a": "-1 mg"}, "a"),
        ({"a": "dont-know"}, "a"),
        ({"a": "1 mg", "b": "-1"}, "b"),
        ({"a": "1 mg", "c": "1"}, "c"),
    ],
)
def test_what_a_calculation_can_not_use_is_named(given_, field):
    with pytest.raises(BadInput) as fault:
        twice.run(given_)
    assert fault.value.field == field


def test_not_known_is_the_same_as_left_out_where_it_may_be():
    assert twice.run({"a": "1 mg", "days": "dont-know"}).also[1].value == 0
