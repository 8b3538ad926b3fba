"""What a reading says of the truth."""

import numpy as np
import pytest

from tankward.model.kits import half_width, span, step_at, truth
from tankward.room.things import Reading
from tests.model.tanks import FACTS


def test_the_step_is_that_of_the_card():
    """The card of ammonia shows 0, 0.25, 0.5, 1, 2, 4, 8 mg/L."""
    kit = FACTS.kits["ammonia_drops"]
    assert [step_at(kit.steps, v) for v in (0.1, 0.25, 0.5, 0.9, 1.5, 8.0, 50.0)] == [
        0.25,
        0.25,
        0.25,
        0.5,
        1.0,
        4.0,
        4.0,
    ]
    assert half_width(kit, 1.5) == 1.0
    assert half_width(FACTS.kits["oxygen_drops"], 6.0) == pytest.approx(0.65)


def test_a_range_told_by_the_keeper_is_taken():
    low, high = span(Reading(quantity="ammonia_n", value=0.5, low=0.4, high=0.7), FACTS)
    assert (low, high) == pytest.approx((0.4, 0.7), rel=0.01)


def test_a_zero_can_hide_something():
    """Up to 0.2 mg/L on the card of ammonia, which counts NH3: 0.16 mg/L as N."""
    drawn = truth(Reading(quantity="ammonia_n", value=0.0), FACTS, 1024)
    assert drawn.min() > 0
    assert drawn.max() == pytest.approx(0.2 / 1.2159, rel=0.01)


def test_a_reading_lies_inside_its_own_range():
    for quantity, value in (("ammonia_n", 0.4), ("nitrite_n", 0.3), ("nitrate_n", 9.0), ("oxygen", 7.0)):
        low, high = span(Reading(quantity=quantity, value=value), FACTS)
        assert 0 <= low < value < high < 4 * value


def test_readings_one_after_another_err_otherwise():
    reading = Reading(quantity="oxygen", value=7.0)
    assert abs(np.corrcoef(truth(reading, FACTS, 1024), truth(reading, FACTS, 1024, 1))[0, 1]) < 0.2
