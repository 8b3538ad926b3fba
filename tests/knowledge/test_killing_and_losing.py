"""Kill curves, losses and effect words, against hand-worked values."""

from math import log

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankward.knowledge.killing import curve_through, kill_curve, nearest, rate_at_lc50, rate_of_share
from tankward.knowledge.losing import at_level, effect_word, filter_factor, loss_rates
from tankward.knowledge.records.base import Drawn
from tankward.knowledge.records.organism import Kill
from tankward.knowledge.records.substance import Loss

HALF, THREE = np.array([0.5]), np.array([0.05, 0.5, 0.95])


def kill(**changed):
    said = {
        "substance": "sodium_chloride", "route": "water", "stage": "theront", "level": 2, "unit": "g/L",
        "exposure_h": 24, "share_low": 0.2, "share_high": 0.5, "source": "none", "status": "memory",
    }  # fmt: skip
    return Kill(**{**said, **changed})


def test_rate_of_a_share_by_hand():
    """Half dead in 24 h: ln 2/24 an hour. "All" counts as 0.99: ln 100/24."""
    assert rate_of_share(np.array([0.5, 0.99, 1.0]), 24) == pytest.approx(
        [log(2) / 24, log(100) / 24, log(100) / 24]
    )
    assert rate_at_lc50(96) == pytest.approx(log(2) / 96)


def test_the_curve_goes_through_its_point_and_tends_to_its_most():
    """Hill 2, ten times the rate at most: EC50 = 2 x 9^(1/2) = 6; at 6 half of the most."""
    curve = curve_through(np.array([0.1]), 2.0, np.array([2.0]), np.array([10.0]))
    assert curve.half == pytest.approx([6])
    assert curve.rate(2.0) == pytest.approx([0.1])
    assert curve.rate(6.0) == pytest.approx([0.5])
    assert curve.rate(0.0) == pytest.approx([0])
    assert curve.rate(1e9) == pytest.approx([1.0])


def test_a_row_becomes_a_curve_by_hand():
    """Median of 0.2 to 0.5 is a third (odds), of Hill 1 to 4 two, of 2 to 10 sqrt(20): 4.472."""
    curve = kill_curve((kill(),), HALF, HALF, HALF)
    assert curve.rate(2.0) == pytest.approx(log(1.5) / 24)
    assert curve.hill == pytest.approx([2])
    assert curve.most_per_h == pytest.approx(log(1.5) / 24 * 20**0.5)
    assert curve.half == pytest.approx(2 * (20**0.5 - 1) ** 0.5)


def test_a_rows_own_exponent_and_most_win():
    curve = kill_curve((kill(hill_low=4, hill_high=9, emax_low=4, emax_high=4),), HALF, HALF, HALF)
    assert curve.hill == pytest.approx([6])
    assert curve.most_per_h / curve.rate(2.0) == pytest.approx([4])


@pytest.mark.parametrize("changed", [{"level": 0}, {"route": "uv", "unit": "mJ/cm2"}])
def test_a_row_without_a_level_is_never_made_into_a_number(changed):
    assert kill_curve((kill(**changed),), HALF, HALF, HALF) is None


def test_of_several_rows_the_nearest_by_ratio():
    """At 4 g/L: 2 is half, 10 is two and a half times; 2 is nearer in ln."""
    rows = (kill(level=2), kill(level=10), kill(level=4, use=False), kill(level=4, stage="tomont"))
    assert [r.level for r in nearest(rows, "sodium_chloride", "water", "theront", 4.0)] == [2]
    assert nearest(rows, "copper", "water", "theront", 4.0) == ()


COLD, WARM = kill(temp_c=12, share_low=0.2, share_high=0.5), kill(temp_c=17, share_low=0.9, share_high=0.9)


def test_rows_of_one_level_read_at_two_temperatures_go_together():
    rows = (kill(level=2, temp_c=12), kill(level=2, temp_c=17), kill(level=10, temp_c=17), kill(level=2))
    assert [r.temp_c for r in nearest(rows, "sodium_chloride", "water", "theront", 3.0)] == [12, 17]
    assert [r.level for r in nearest(rows, "sodium_chloride", "water", "theront", 9.0)] == [10]
    assert nearest((kill(), COLD), "sodium_chloride", "water", "theront", 2.0)[0].temp_c is None


def test_between_two_temperatures_the_rate_is_ln_linear_by_hand():
    """ln 1.5/24 at 12 C, ln 10/24 at 17 C; half way their geometric mean, whichever row stands first."""
    for rows in ((COLD, WARM), (WARM, COLD)):
        curve = kill_curve(rows, HALF, HALF, HALF)
        assert curve.rate(2.0, 12.0) == pytest.approx([log(1.5) / 24])
        assert curve.rate(2.0, 17.0) == pytest.approx([log(10) / 24])
        assert curve.rate(2.0, 14.5) == pytest.approx([(log(1.5) * log(10)) ** 0.5 / 24])
        assert curve.rate(2.0, np.array([12.0, 17.0])) == pytest.approx([log(1.5) / 24, log(10) / 24])
        assert curve.rate(2.0) == pytest.approx([log(10) / 24])


def test_beyond_what_was_read_the_edge_holds_and_the_band_widens_by_hand():
    """The middle stays; the ends go 1.5 times apart for every 5 C beyond, either way."""
    curve = kill_curve((COLD, WARM), THREE, HALF, HALF)
    at, out = curve.rate(2.0, 17.0), curve.rate(2.0, 22.0)
    assert out / at == pytest.approx([1 / 1.5, 1.0, 1.5])
    assert curve.rate(2.0, 2.0)[[0, 2]] == pytest.approx(curve.rate(2.0, 12.0)[[0, 2]] * [1.5**-2, 1.5**2])
    assert [curve.beyond(t) for t in (11.9, 12.0, 17.0, 17.1)] == [True, False, False, True]


def test_a_row_read_over_a_span_is_the_same_all_over_it():
    curve = kill_curve((kill(temp_c=12, temp_to_c=17),), THREE, HALF, HALF)
    plain = kill_curve((kill(),), THREE, HALF, HALF)
    for temp in (12.0, 13.3, 17.0):
        assert curve.rate(2.0, temp) == pytest.approx(plain.rate(2.0))
    assert curve.beyond(25.0)
    assert not plain.beyond(25.0)


@pytest.mark.parametrize("own", [{}, {"emax_low": 1.5, "emax_high": 4.0}])
def test_the_lowest_draw_still_leaves_a_curve(own):
    """The greatest rate stays above the rate at the level, whatever is drawn."""
    curve = kill_curve((kill(**own),), HALF, HALF, np.array([0.0, 1e-6]))
    assert (curve.most_per_h > curve.rate(2.0)).all()
    assert (curve.half > 0).all()


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 1), st.floats(0, 100), st.floats(0, 100))
def test_more_never_kills_less(share, hill, most, level, other):
    curve = kill_curve((kill(),), np.array([share]), np.array([hill]), np.array([most]))
    low, high = sorted((level, other))
    assert curve.rate(low) <= curve.rate(high) * (1 + 1e-12)


def test_kill_rows_of_the_facts_meet_their_own_span(facts):
    """Drawn at its 5th and 95th centile each row kills its own low and high share in its own time."""
    for organism in facts.organisms.values():
        for row in organism.kill:
            curve = kill_curve((row,), THREE, HALF, HALF)
            if curve is None:
                continue
            dead = 1 - np.exp(-curve.rate(row.level) * row.exposure_h)
            ends = np.minimum([row.share_low, row.share_high], 0.99)
            assert dead[[0, 2]] == pytest.approx(ends, rel=1e-6, abs=1e-9), (organism.id, row.substance)


def hours(low, high, unit="h"):
    return Drawn(low=low, high=high, unit=unit, source="none", status="memory")


def test_loss_by_hand():
    """Half-life 8 to 32 h, median 16; theta 1.05: at 30 C the dark rate is ln 2/16 x 1.05^10 = 0.07057."""
    loss = Loss(
        dark=hours(8, 32),
        light=hours(16, 16),
        filter_naive=hours(8, 32),
        filter_used=hours(4, 4),
        carbon=hours(2, 2),
        theta=hours(1.05, 1.05, "1"),
    )
    u = dict.fromkeys(("dark", "light", "filter_naive", "filter_used", "carbon", "theta"), HALF)
    rates = loss_rates(loss, u, 30.0)
    assert rates.dark == pytest.approx([0.07057], abs=5e-6)
    assert rates.filter_used == pytest.approx([log(2) / 4 * 1.05**10])
    assert (rates.light, rates.carbon) == (pytest.approx([log(2) / 16]), pytest.approx([log(2) / 2]))


@pytest.mark.parametrize(("level", "factor"), [(0, 1.0), (1, 0.8), (2.5, 0.5), (5, 0.5), (50, 0.5)])
def test_an_effect_word_holds_from_half_the_usual_level(level, factor):
    """Usual 5 mg/L, factor 0.5: whole from 2.5 on, at 1 mg/L 1 - 0.5 x 1/2.5 = 0.8."""
    assert at_level(np.array([0.5]), level, 5.0) == pytest.approx([factor])


def test_effect_words_as_they_stand(facts):
    """Malachite green and formalin: the combination takes the product of its parts."""
    u = {"formalin": THREE, "malachite_green": THREE}
    parts = [filter_factor(facts, p, "filter", u) for p in ("formalin", "malachite_green")]
    assert filter_factor(facts, "formalin_malachite", "filter", u) == pytest.approx(parts[0] * parts[1])
    word = effect_word(facts, "formalin", "filter")
    row = facts.filter_effects[word]
    assert parts[0][[0, 2]] == pytest.approx([row.low, row.high])
    assert effect_word(facts, "praziquantel", "gut") == "unknown"


def test_words_are_ordered(facts):
    middles = [facts.filter_effects[w].low for w in ("none", "low", "moderate", "high", "severe")]
    assert middles == sorted(middles, reverse=True)
