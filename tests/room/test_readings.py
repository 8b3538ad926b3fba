"""Readings: as what a kit reads, and where no water can be.

Atomic masses of IUPAC (2021): N 14.007, H 1.008, O 15.999; so NH3 17.031, NO2 46.005, NO3 62.004.
"""

import pytest

from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Taste
from tankward.room.readings import readings_in
from tankward.room.things import Reading


def one(text):
    (found,) = readings_in(text, Taste())
    return found


def test_the_ion_is_kept_as_nitrogen():
    assert one("nitrite 1 mg/L as NO2").value == pytest.approx(14.007 / 46.005, rel=1e-4)
    assert one("nitrate 20 mg/L as NO3").value == pytest.approx(20 * 14.007 / 62.004, rel=1e-4)
    assert one("ammonia 0.5 mg/L as NH3").value == pytest.approx(0.5 * 14.007 / 17.031, rel=1e-4)
    assert one("ammonia 0.5 mg/L as N") == Reading(quantity="ammonia_n", value=0.5)


def test_a_kit_that_does_not_say_as_what_gives_a_range():
    found = one("nitrite 1 mg/L")
    assert found.low == pytest.approx(14.007 / 46.005, rel=1e-4)
    assert found.high == 1.0
    assert found.value == pytest.approx((found.low + found.high) / 2)


def test_a_line_of_readings():
    found = readings_in("ammonia 0.5 mg/L as N, pH 7,8; 26C, kh 5 dKH", Taste())
    assert [(r.quantity, r.value) for r in found] == [
        ("ammonia_n", 0.5), ("ph", 7.8), ("temp_c", 26.0), ("kh", pytest.approx(5 * 17.848)),
    ]  # fmt: skip


def test_from_to_keeps_its_ends():
    assert one("ph 7.2 to 7.6") == Reading(quantity="ph", value=pytest.approx(7.4), low=7.2, high=7.6)


def test_dont_know_is_left_out():
    assert readings_in("ph dont-know", Taste()) == ()


@pytest.mark.parametrize(
    "text",
    ["ph 15", "ph -1", "temp 300C", "ammonia -1 mg/L", "ammonia 0.5", "glory 3 mg/L", "nitrite 1 mg/L as Cl",
     "oxygen 8 mg/L as O2", "nonsense", "ammonia 0.5 furlongs"],
)  # fmt: skip
def test_what_no_water_has_is_refused(text):
    with pytest.raises(BadInput):
        readings_in(text, Taste())
