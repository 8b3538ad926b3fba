"""How likely a kit is to show this, held against sums by hand and by scipy."""

import numpy as np
import pytest
from scipy.stats import norm

from tankward.model.eye import LOTS, eye_of, normal_share
from tankward.model.kits import KITS
from tankward.room.things import Reading
from tests.model.tanks import FACTS

MARKS = (0, 0.25, 0.5, 1, 2, 4, 8)  # of the card of ammonia, as NH3


def reading(mark, quantity="ammonia_n", kit=""):
    return Reading(quantity=quantity, value=mark / KITS[quantity][1], kit=kit)


def test_the_share_below_is_that_of_the_normal_distribution():
    z = np.linspace(-8, 8, 400)
    assert normal_share(z) == pytest.approx(norm.cdf(z), abs=1.6e-7)


@pytest.mark.parametrize("level", [0.0, 0.1, 0.7, 3.0, 30.0])
def test_one_mark_or_another_is_read(level):
    """For each lot the chances of all marks add up to 1."""
    each = [eye_of(reading(mark), FACTS).likely(np.array([level])) for mark in MARKS]
    assert np.sum(each, axis=0) == pytest.approx(np.ones((1, LOTS)), abs=1e-6)


def test_a_mark_by_hand():
    """1.5 mg/L lies half way from mark 3 to mark 4; 90 % of what is written down lies within one mark, so the
    eye errs by √(0.608² − 1/12) = 0.535 of a mark, and 1 mg/L is read where it errs from −1 to 0.
    """
    eye = eye_of(reading(1), FACTS)
    level = np.array([1.5 / KITS["ammonia_n"][1]])
    found = np.interp(1.0, eye.lots, eye.likely(level)[0])
    assert found == pytest.approx(norm.cdf(0.0, scale=0.535) - norm.cdf(-1.0, scale=0.535), abs=0.02)


def test_a_zero_hides_what_the_facts_say_it_can():
    """0.2 mg/L: at a lot that shows what there is, half of the readings are zero."""
    eye = eye_of(reading(0), FACTS)
    levels = np.array([0.2]) / KITS["ammonia_n"][1] / eye.lots
    assert [eye.likely(np.array([v]))[0, n] for n, v in enumerate(levels)] == pytest.approx([0.5] * LOTS)


def test_the_last_mark_stands_for_all_above_it():
    eye = eye_of(reading(8), FACTS)
    assert eye.likely(np.array([100.0])) == pytest.approx(np.ones((1, LOTS)), abs=1e-6)


def test_a_range_of_the_keepers_own_is_its_error():
    """6 to 8 about 7: as far off at both ends, and a normal distribution of that width between."""
    eye = eye_of(Reading(quantity="oxygen", value=7.0, low=6.0, high=8.0), FACTS)
    low, middle, high = eye.likely(np.array([6.0, 7.0, 8.0]))[:, 0]
    assert low == pytest.approx(high)
    assert low / middle == pytest.approx(np.exp(-0.5 * norm.ppf(0.95) ** 2), abs=0.03)


def test_what_has_no_kit_tells_nothing():
    assert eye_of(Reading(quantity="phosphate", value=1.0), FACTS) is None
