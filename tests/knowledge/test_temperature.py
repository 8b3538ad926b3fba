"""Numbers by temperature, against hand-worked values."""

from math import log, sqrt

import numpy as np
import pytest

from tankward.knowledge.temperature import ByTemperature, parameters

THREE = np.array([0.05, 0.5, 0.95])


def days(temp_c, low, high, unit="d"):
    return ByTemperature(name="days", stage="egg", unit=unit, temp_c=temp_c, low=low, high=high)


def test_between_rows_the_logarithm_is_linear():
    """10 C: 8 to 32 d; 20 C: 2 to 8 d. At 15 C the ends are sqrt(8 x 2) = 4 and sqrt(32 x 8) = 16."""
    egg = days((10, 20), (8, 2), (32, 8))
    assert egg.draw(THREE, 15.0, 2.0) == pytest.approx([4, 8, 16])
    assert egg.draw(THREE, 10.0, 2.0) == pytest.approx([8, 16, 32])


def test_a_quarter_of_the_way():
    """At 12.5 C: low = 8 (2/8)^(1/4) = 8/sqrt(2)."""
    assert days((10, 20), (8, 2), (32, 8)).draw(THREE, 12.5, 2.0)[0] == pytest.approx(8 / sqrt(2))


def test_beyond_the_last_row_the_ends_hold_and_widen():
    """5 C past 20 C: x/÷ 1.5; 10 C past: x/÷ 2.25. The median stays."""
    egg = days((10, 20), (8, 2), (32, 8))
    assert egg.draw(THREE, 25.0, 2.0) == pytest.approx([2 / 1.5, 4, 8 * 1.5])
    assert egg.draw(THREE, 30.0, 2.0) == pytest.approx([2 / 2.25, 4, 8 * 2.25])
    assert egg.draw(THREE, 5.0, 2.0) == pytest.approx([8 / 1.5, 16, 32 * 1.5])
    assert [egg.beyond(t) for t in (9, 10, 20, 21)] == [True, False, False, True]


def test_a_share_widens_by_its_odds():
    """0.2 to 0.5 at the last row: odds 0.25 and 1; 5 C on: odds 1/6 and 1.5, so 1/7 and 0.6."""
    share = days((10, 20), (0.2, 0.2), (0.5, 0.5), unit="1")
    assert share.draw(THREE, 25.0, 2.0) == pytest.approx([1 / 7, 1 / 3, 0.6])


@pytest.mark.parametrize(
    ("unit", "factor"),
    [("d", 1 / 2.5), ("h", 1 / 2.5), ("1/d", 2.5), ("1/h", 2.5), ("L/(h g)", 2.5), ("1/g", 1)],
)
def test_one_row_follows_q10(unit, factor):
    """10 C warmer with q10 = 2.5: times divided by it, rates multiplied, other numbers as they are."""
    one = days((20,), (2.0,), (8.0,), unit=unit)
    assert one.draw(THREE, 30.0, 2.5) == pytest.approx(np.array([2, 4, 8]) * factor)
    assert one.draw(THREE, 20.0, 2.5) == pytest.approx([2, 4, 8])


def test_without_temperature_it_does_not_depend_on_it():
    plain = days((), (2.0,), (8.0,))
    assert plain.draw(THREE, 5.0, 2.5) == pytest.approx([2, 4, 8])
    assert plain.draw(THREE, 30.0, 2.5) == pytest.approx([2, 4, 8])


def test_one_centile_at_every_temperature():
    """A draw that is slow when cold is slow when warm: an array of temperatures runs along one curve."""
    egg = days((10, 20), (8, 2), (32, 8))
    curve = egg.draw(np.full(11, 0.95), np.linspace(10, 20, 11), 2.0)
    assert np.diff(np.log(curve)) == pytest.approx([log(8 / 32) / 10] * 10)


def test_an_end_at_nothing_is_linear_in_the_number():
    """0 to 0.4 at 10 C, 0.2 to 0.8 at 20 C: at 15 C low is 0.1 and high sqrt(0.4 x 0.8); uniform between."""
    share = days((10, 20), (0, 0.2), (0.4, 0.8), unit="1")
    high = sqrt(0.4 * 0.8)
    assert share.draw(THREE, 15.0, 2.0) == pytest.approx([0.1, (0.1 + high) / 2, high])


def test_white_spot_as_it_stands_in_its_file(facts):
    """Time on the fish at 22 C is 4 to 7 d; rows kept as evidence are not drawn."""
    found = parameters(facts.organisms["ichthyophthirius"])
    trophont = found["days", "trophont", ""]
    assert trophont.draw(THREE, 22.0, 2.0)[[0, 2]] == pytest.approx([4, 7])
    assert 28.0 not in trophont.temp_c
    assert ("establish", "", "") not in found


def test_every_parameter_is_finite_and_rises_with_the_centile(facts):
    u = np.linspace(0, 1, 33)
    for organism in facts.organisms.values():
        for key, number in parameters(organism).items():
            for temp_c in (2.0, 12.0, 24.0, 33.0):
                values = number.draw(u, temp_c, 2.0)
                assert np.isfinite(values).all(), (organism.id, key, temp_c)
                assert (np.diff(values) >= -1e-12 * np.abs(values).max()).all(), (organism.id, key, temp_c)
