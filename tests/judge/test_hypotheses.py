"""What may be so of a course: Bayes' rule, and what may be said of it."""

import math

import pytest

from tankward.judge.hypotheses import (
    IDLE,
    LEAST_RIGHT,
    MOVED,
    Chances,
    moved,
    posterior,
    prior_of,
    said,
)

EVEN = Chances(bites=0.5, weak=0.1, idle=0.15, other=0.25)


@pytest.mark.parametrize("right", [0.0, 0.3, 0.7, 1.0])
@pytest.mark.parametrize("share", [0.0, 0.4, 1.0])
def test_a_prior_adds_up_and_no_cause_is_sure_or_forlorn(right, share):
    prior = prior_of(right, share)
    assert sum(prior.each) == pytest.approx(1.0)
    assert 1.0 - prior.other == pytest.approx(min(max(right, LEAST_RIGHT.value), 0.95))
    assert prior.idle == pytest.approx((1.0 - prior.other) * IDLE.value)
    assert prior.bites == pytest.approx((1.0 - prior.other) * (1.0 - IDLE.value) * share)


def test_the_posterior_is_bayes_rule():
    found = posterior(EVEN, [math.log(p) for p in (0.02, 0.01, 0.005, 0.001)])
    whole = 0.5 * 0.02 + 0.1 * 0.01 + 0.15 * 0.005 + 0.25 * 0.001
    assert found.bites == pytest.approx(0.5 * 0.02 / whole)
    assert found.too_little == pytest.approx((0.1 * 0.01 + 0.15 * 0.005) / whole)
    assert found.other == pytest.approx(0.25 * 0.001 / whole)


def test_what_can_not_be_so_stays_so_and_small_chances_do_not_run_out():
    none = Chances(bites=0.5, weak=0.0, idle=0.25, other=0.25)
    found = posterior(none, [-4000.0, -math.inf, -4001.0, -4002.0])
    assert found.weak == 0.0
    assert sum(found.each) == pytest.approx(1.0)
    assert found.bites > found.idle > found.other


@pytest.mark.parametrize(
    ("prior", "now", "what"),
    [
        (0.5, 0.9, "helping"),
        (0.5, 0.84, ""),
        (0.86, 0.88, ""),  # it was likely before anything was counted
        (0.5, 0.1, "not-helping"),
        (0.5, 0.16, ""),
        (0.12, 0.1, ""),  # little was hoped for: no count has said so
        (0.12, 0.04, "not-helping"),
    ],
)
def test_only_what_the_counts_made_likely_is_said(prior, now, what):
    before, after = (Chances(bites=p, weak=0.0, idle=1.0 - p, other=0.0) for p in (prior, now))
    assert said(before, after) == what
    if what == "helping":
        assert moved(before, after) >= MOVED.value
