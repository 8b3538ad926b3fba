"""Facts into distributions, against hand-worked values."""

from math import exp, log, sqrt
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankward.knowledge.beliefs import belief, belief_of_figure, drawn, estimated, of_span, quantile
from tankward.knowledge.normal import normal_quantile
from tankward.knowledge.records.base import Drawn, Figure
from tankward.quantities.parse import Estimate

THREE = np.array([0.05, 0.5, 0.95])
EVERYWHERE = np.linspace(0, 1, 2001)


def row(low, high, unit="mg/L", status="memory"):
    return Drawn(low=low, high=high, unit=unit, source="none", status=status)


@given(st.floats(1e-12, 1 - 1e-12))
def test_normal_quantile_is_that_of_the_standard_library(u):
    assert normal_quantile(np.array(u)) == pytest.approx(NormalDist().inv_cdf(u), rel=1e-12, abs=1e-14)


def test_normal_quantile_of_printed_tables():
    """Percentage points of any table of the normal distribution."""
    u = np.array([0.5, 0.95, 0.975, 0.995, 0.001])
    assert normal_quantile(u) == pytest.approx([0, 1.644854, 1.959964, 2.575829, -3.090232], abs=5e-7)


def test_normal_quantile_stays_finite_at_the_ends():
    assert np.isfinite(normal_quantile(np.array([0.0, 1.0]))).all()


def test_lognormal_by_hand():
    """2 to 8: the median is sqrt(16) = 4; the 90th centile is 4 exp(1.281552/1.644854 ln 2) = 6.864."""
    about = of_span(2, 8, "mg/L")
    assert about.shape == "lognormal"
    assert about.draw(THREE) == pytest.approx([2, 4, 8])
    assert about.draw(np.array([0.9])) == pytest.approx(4 * exp(1.281552 / 1.644854 * log(2)), rel=1e-6)


def test_logit_normal_by_hand():
    """0.2 to 0.5: odds 0.25 and 1, median odds 0.5, so a third."""
    about = of_span(0.2, 0.5, "1")
    assert about.shape == "logit-normal"
    assert about.draw(THREE) == pytest.approx([0.2, 1 / 3, 0.5])


@pytest.mark.parametrize(("low", "high"), [(0.8, 1.0), (0.0, 0.2), (0.0, 1.0)])
def test_a_share_with_an_end_at_nothing_or_all_is_uniform(low, high):
    about = of_span(low, high, "1")
    assert about.shape == "uniform"
    assert about.draw(THREE) == pytest.approx([low, (low + high) / 2, high])


def test_a_temperature_is_uniform_by_hand():
    """22 to 27 C: the span of 5 is nine tenths, so 22 - 5/18 to 27 + 5/18."""
    about = of_span(22, 27, "C")
    assert about.draw(THREE) == pytest.approx([22, 24.5, 27])
    assert about.draw(np.array([0.0, 1.0])) == pytest.approx([22 - 5 / 18, 27 + 5 / 18])


def test_cuts_by_hand():
    """Beyond half of low and twice high nothing is drawn: 1 to 1.1 reaches neither, 1 to 100 both."""
    wide = of_span(1, 100, "h").draw(EVERYWHERE)
    assert (wide.min(), wide.max()) == (0.5, 200)
    narrow = of_span(1, 1.1, "h").draw(np.linspace(0.001, 0.999, 999))
    assert narrow.min() > 0.9
    assert narrow.max() < 1.2


@pytest.mark.parametrize(
    ("status", "low", "high"),
    [
        ("published-read", 10 / 1.3, 13.0),
        ("common-practice", 5.0, 20.0),
        ("computed", 10, 10),
        ("memory", 10, 10),
    ],
)
def test_a_single_figure_is_widened_by_how_it_is_known(status, low, high):
    about = belief(row(10, 10, status=status))
    assert (about.low, about.high) == pytest.approx((low, high))
    middle = drawn(row(10, 10, status=status), np.array([0.5]))
    assert sqrt(low * high) == pytest.approx(10)
    assert middle == pytest.approx([10])


@pytest.mark.parametrize("status", ["published-read", "common-practice", "computed", "memory"])
def test_a_range_is_never_widened_again(status):
    assert drawn(row(2, 8, status=status), THREE) == pytest.approx([2, 4, 8])


def test_a_figure_without_a_number_is_no_belief():
    words = Figure(text="gone in light", source="none", status="memory")
    assert belief_of_figure(words) is None
    one = Figure(value=10, unit="mg/L", source="none", status="common-practice")
    assert belief_of_figure(one).draw(THREE) == pytest.approx([5, 10, 20])


@given(
    st.floats(1e-6, 1e6),
    st.floats(1, 1e3),
    st.sampled_from(["mg/L", "h", "1", "C"]),
    st.lists(st.floats(0, 1), min_size=2, max_size=20),
)
def test_draws_rise_with_the_centile_and_stay_within_the_cuts(low, factor, unit, shares):
    about = of_span(low, low * factor, unit)
    values = about.draw(np.sort(np.array(shares)))
    assert (np.diff(values) >= 0).all()
    assert (values >= about.least).all()
    assert (values <= about.most).all()


def test_nine_tenths_of_the_draws_lie_between_low_and_high():
    u = (np.arange(10_000) + 0.5) / 10_000
    for low, high, unit in ((2, 8, "mg/L"), (0.1, 0.7, "1"), (20, 26, "C")):
        values = quantile(low, high, unit, u)
        assert np.mean((values >= low) & (values <= high)) == pytest.approx(0.9, abs=2e-3)


def test_a_keepers_estimate_keeps_its_likely_value():
    """About 40, 30 to 60: each side has its own width."""
    about = Estimate(value=40, low=30, high=60)
    assert estimated(about, THREE) == pytest.approx([30, 40, 60])
    assert estimated(Estimate(value=40, low=40, high=40), THREE) == pytest.approx([40, 40, 40])
    assert estimated(Estimate(value=2, low=0, high=5), THREE) == pytest.approx([0, 2, 5])


def test_every_drawn_row_of_the_facts_can_be_drawn(facts):
    rows = [*facts.tank.values(), *facts.filter_effects.values(), *facts.oxygen_effects.values()]
    rows += [k.error for k in facts.kits.values()] + [k.lot for k in facts.kits.values()]
    for one in rows:
        values = drawn(one, EVERYWHERE)
        assert np.isfinite(values).all()
        if one.low != one.high:
            assert drawn(one, THREE)[[0, 2]] == pytest.approx([one.low, one.high], rel=1e-9, abs=1e-12)
