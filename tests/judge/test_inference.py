"""The sums of the network against the same network told the long way: every hidden chance tossed on
its own.
"""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankward.judge.draws import DRAWS, band, chance, factor, order
from tankward.judge.inference import Observed, posterior

approx = pytest.approx


def observed(prior, shows, leak, states, answers=None):
    """One draw. `shows[k][i]`: chance that cause i shows sign k; `states[k]`: True seen, False absent, None
    not looked for.
    """
    rows = np.array(shows)
    seen = [k for k, s in enumerate(states) if s is True]
    absent = [k for k, s in enumerate(states) if s is False]
    odds = np.array(prior) / (1 - np.array(prior))
    return Observed(
        odds=odds[None],
        seen_miss=1 - rows[seen][None],
        seen_leak=np.array(leak)[seen][None],
        absent_miss=1 - rows[absent][None],
        absent_leak=np.array(leak)[absent][None],
        facts=() if answers is None else ((np.array(answers[0])[None], np.array([answers[1]])),),
    )


def tossed(causes, shows, leak, states):
    """P(looks | causes at work), adding up every way in which leak and causes may or may not show
    each sign.
    """
    total = 1.0
    for k, state in enumerate(states):
        if state is None:
            continue
        coins = [leak[k]] + [shows[k][i] for i in causes]
        ways = 0.0
        for toss in product([True, False], repeat=len(coins)):
            if any(toss) is state:
                ways += np.prod([c if t else 1 - c for c, t in zip(coins, toss, strict=True)])
        total *= ways
    return total


def long_way(prior, shows, leak, states):
    n = len(prior)
    weight = {}
    for at_work in product([False, True], repeat=n):
        if sum(at_work) > 3:
            continue
        p = np.prod([q if on else 1 - q for q, on in zip(prior, at_work, strict=True)])
        weight[at_work] = p * tossed([i for i in range(n) if at_work[i]], shows, leak, states)
    total = sum(weight.values())
    return [sum(w for s, w in weight.items() if s[i]) / total for i in range(n)]


chances = st.floats(0.01, 0.95)
states = st.sampled_from([True, False, None])


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_sums_agree_with_every_hidden_toss(data):
    n, signs = data.draw(st.integers(2, 5)), data.draw(st.integers(0, 4))
    prior = data.draw(st.lists(chances, min_size=n, max_size=n))
    shows = data.draw(st.lists(st.lists(chances, min_size=n, max_size=n), min_size=signs, max_size=signs))
    leak = data.draw(st.lists(chances, min_size=signs, max_size=signs))
    looks = data.draw(st.lists(states, min_size=signs, max_size=signs))
    got = posterior(observed(prior, shows, leak, looks)).each[0]
    assert got == approx(long_way(prior, shows, leak, looks), rel=1e-9)


def test_two_causes_one_sign_by_hand():
    """Priors 0.2 and 0.1, sign shown by 0.9 and 0.5, leak 0.05. Seen.

    none 0.8*0.9*0.05 = 0.0360; A 0.2*0.9*(1-0.95*0.1) = 0.1629; B 0.8*0.1*(1-0.95*0.5) = 0.0420;
    both 0.2*0.1*(1-0.95*0.1*0.5) = 0.01905; sum 0.25995; A 0.18195/0.25995, B 0.06105/0.25995.
    """
    after = posterior(observed([0.2, 0.1], [[0.9, 0.5]], [0.05], [True]))
    assert after.each[0] == approx([0.699942, 0.234853], abs=1e-6)
    assert after.none[0] == approx(0.0360 / 0.25995)


def test_explaining_away_lowers_the_other_cause():
    """A sure sign of A beside a shared sign: B is less likely than with the shared sign alone."""
    alone = posterior(observed([0.1, 0.1], [[0.9, 0.9]], [0.01], [True])).each[0, 1]
    beside = posterior(observed([0.1, 0.1], [[0.9, 0.9], [0.9, 0.0]], [0.01, 0.001], [True, True])).each[0, 1]
    assert beside < alone / 2


def test_a_fact_with_answers_counts_once_and_two_causes_take_the_mean():
    """Odds 1/4 and 1/9; answer given A 0.6, B 0.2, none 0.5: weights 0.5, 0.15, 0.0222, 0.0111 by hand."""
    after = posterior(observed([0.2, 0.1], [[0.0, 0.0]], [0.0], [None], ([0.6, 0.2], 0.5)))
    weights = np.array([0.5, 0.6 / 4, 0.2 / 9, 0.4 / 36])
    assert after.none[0] == approx(weights[0] / weights.sum())
    assert after.each[0] == approx(
        [(weights[1] + weights[3]) / weights.sum(), (weights[2] + weights[3]) / weights.sum()]
    )


def test_chances_of_all_sets_sum_to_one():
    after = posterior(observed([0.2, 0.1, 0.3], [[0.9, 0.5, 0.1]], [0.05], [False]))
    assert after.none + after.one.sum(axis=1) + after.two.sum(axis=(1, 2)) + after.three.sum(
        axis=1
    ) / 3 == approx(1.0)


@pytest.mark.parametrize(("low", "high"), [(0.05, 0.2), (0.5, 0.9), (0.001, 0.003), (0.0, 0.4)])
def test_drawn_chances_keep_their_90_percent_range(low, high):
    drawn = chance("x", low, high)
    lo, _, hi = band(drawn)
    spread = high - low
    assert lo == approx(low, abs=0.06 * spread)
    assert hi == approx(high, abs=0.06 * spread)
    assert drawn.min() >= 0.0
    assert drawn.max() <= 1.0


def test_drawn_factors_are_lognormal_and_cut():
    drawn = factor("y", 2.0, 8.0)
    assert band(drawn) == approx((2.0, 4.0, 8.0), rel=0.02)
    assert drawn.min() >= 1.0
    assert drawn.max() <= 16.0


def test_columns_differ_by_name_and_are_whole():
    assert sorted(order("a")) == list(range(DRAWS))
    assert abs(np.corrcoef(order("a"), order("b"))[0, 1]) < 0.2
    assert (order("a") == order("a")).all()
