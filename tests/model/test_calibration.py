"""The forecast learns as it should, in a fifth of the tanks of docs/calibration.md; the test can fail."""

import re
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import binom

from scripts.calibration import runs, statistic
from tankward.model.run import warm
from tests.model.tanks import FACTS

TANKS, DRAWS = 200, 128
PAGE = Path(__file__).parents[2] / "docs" / "calibration.md"


@pytest.fixture(scope="module")
def ways():
    warm(wait=True)
    return {way: runs.ranked(FACTS, range(TANKS), DRAWS, way) for way in runs.WAYS}


@pytest.mark.slow
def test_the_truth_is_as_often_at_any_rank(ways):
    right = ways[runs.WAYS[0]]
    assert right.passes, right.chances
    assert {name: r.size for name, r in right.ranks.items()}.keys() == set(runs.RANKED)


@pytest.mark.slow
@pytest.mark.parametrize("way", runs.WAYS[1:])
def test_a_learner_that_is_wrong_is_found_out(ways, way):
    assert not ways[way].passes, ways[way].chances


def test_evenly_spread_ranks_pass_as_often_as_said():
    """Of 300 sets of 100 even ranks about a tenth lie below a chance of a tenth."""
    rng = np.random.default_rng(1)
    chances = np.array([statistic.by_chance(rng.random(100)) for _ in range(300)])
    below = (chances < 0.1).sum()
    assert binom.ppf(0.001, 300, 0.1) <= below <= binom.ppf(0.999, 300, 0.1)


def test_uneven_ranks_do_not_pass():
    """Believing too much puts the truth at the ends, too little into the middle, too high below."""
    rng = np.random.default_rng(2)
    for ranks in (rng.beta(0.6, 0.6, 800), rng.beta(1.7, 1.7, 800), rng.beta(1.0, 1.6, 800)):
        assert statistic.by_chance(ranks) < statistic.LIMIT / len(runs.RANKED)


def test_the_band_holds_even_ranks_as_often_as_said():
    low, high = statistic.band(200, 0.05)
    rng = np.random.default_rng(3)
    shares = np.array([statistic.counts(rng.random(200)) / 200 for _ in range(2000)])
    out = ((shares < low) | (shares > high)).any(axis=1).mean()
    assert 0.025 < out <= 0.065


def test_a_rank_among_equal_draws_is_the_usual_one():
    values, flat = np.arange(9.0), np.full(9, 1 / 9)
    assert statistic.rank(4.5, values, flat, 9.0, 0.0) == pytest.approx(5 / 10)
    assert statistic.rank(-1.0, values, flat, 9.0, 1.0) == pytest.approx(1 / 10)
    assert statistic.rank(4.0, values, flat, 9.0, 1.0) == pytest.approx(6 / 10)


def test_the_page_says_what_was_found():
    """Seven numbers pass, and both learners that are wrong fail."""
    passed, errors, food = re.search(
        r"\*\*(\d) of 7 numbers pass.*?learner (\d) of 7 fail.*?doubled (\d)\.\*\*",
        PAGE.read_text(encoding="utf-8"),
        re.DOTALL,
    ).groups()
    assert passed == "7"
    assert int(errors) > 0
    assert int(food) > 0
