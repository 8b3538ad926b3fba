"""Weighted draws into numbers."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankward.model import kernels_bands
from tankward.model.bands import CENTILES, _order, band, centiles, chance, effective, walked


def test_centiles_of_even_weights():
    """Of 1 to 100 the median is 50.5 and the 5th centile 5.5: each number stands for the middle of its
    share.
    """
    low, value, high = centiles(np.arange(1.0, 101.0), np.ones(100), (0.05, 0.5, 0.95))
    assert (low, value, high) == pytest.approx((5.5, 50.5, 95.5))


@given(st.lists(st.floats(-100, 100), min_size=3, max_size=30), st.data())
def test_a_draw_of_no_weight_does_not_count(values, data):
    extra = data.draw(st.floats(-1000, 1000))
    weights = np.ones(len(values))
    with_it = centiles(np.array([*values, extra]), np.array([*weights, 0.0]))
    assert with_it == pytest.approx(centiles(np.array(values), weights), abs=1e-6) or extra in values


def test_many_times_keep_their_shape():
    values = np.random.default_rng(3).random((7, 64))
    assert centiles(values, np.ones(64)).shape == (5, 7)
    assert centiles(values, np.ones(64))[:, 3] == pytest.approx(centiles(values[3], np.ones(64)))


def test_chances_and_worth():
    weights = np.array([0.5, 0.25, 0.25])
    assert chance(np.array([True, False, True]), weights) == 0.75
    assert effective(np.ones(8)) == 8
    assert effective(weights) == pytest.approx(1 / 0.375)
    assert band(np.array([2.0, 2.0]), np.ones(2)).value == 2.0


@given(
    st.integers(1, 80), st.integers(0, 2**32 - 1), st.sampled_from([np.float32, np.float64]), st.booleans()
)
def test_the_compiled_walk_finds_what_the_oracle_finds(draws, seed, kind, alike):
    """Equal levels, draws of next to no weight, one draw alone, centiles beyond the first and the last."""
    some = np.random.default_rng(seed)
    lines = (some.integers(0, 9, (5, draws)) if alike else some.normal(size=(5, draws))).astype(kind)
    weights = some.random(draws) ** some.choice([0, 1, 40]) + 1e-300
    told = lines, _order(lines), weights / weights.sum(), np.array([1e-9, *CENTILES, 1.0])
    assert kernels_bands.centiles(*told) == pytest.approx(walked(*told), rel=1e-12, abs=1e-12)
