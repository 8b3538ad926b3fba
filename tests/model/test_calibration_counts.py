"""Whether what counts teach is as sure as it says, on few outbreaks: a truth that grows faster must show."""

import numpy as np
import pytest
from scipy.stats import kstest

from scripts.calibration_counts import KINDS, faster, ranked, seeing_all, truth_of, usable, world_of
from scripts.calibration_page import AS_IT_IS, DOUBLED, PERFECT, distance, drawn, limit, page, passes
from tests.model.tanks import FACTS

COLUMNARIS = KINDS[2]
MANY = 40


@pytest.fixture(scope="module")
def world():
    return world_of(COLUMNARIS, FACTS)


@pytest.mark.slow
def test_the_truth_lies_anywhere_among_what_was_learned(world):
    truth = truth_of(world, FACTS)
    ranks = ranked(world, truth, FACTS, usable(truth, MANY))
    assert passes({"columnaris": ranks})
    assert ((ranks > 0) & (ranks < 1)).all()


@pytest.mark.slow
def test_a_truth_that_grows_twice_as_fast_shows(world):
    truth = truth_of(world, faster(FACTS, COLUMNARIS.organism, 3.0))
    ranks = ranked(world, truth, FACTS, usable(truth, MANY))
    assert not passes({"columnaris": ranks})
    assert ranks[:, 1].mean() > 0.6


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.organism)
def test_each_kind_can_be_made_to_grow_faster(kind):
    """Of what carries on by itself: more on the fish a week on, in nearly every draw."""
    plain = world_of(kind, FACTS)
    slow, fast = (truth_of(plain, f) for f in (FACTS, faster(FACTS, kind.organism)))
    assert np.mean(fast.values[1] > slow.values[1]) > 0.9


def test_the_distance_is_that_of_kolmogorov():
    ranks = np.random.default_rng(3).random(80) ** 1.3
    assert distance(ranks) == pytest.approx(kstest(ranks, "uniform").statistic * np.sqrt(80))
    assert limit(1) == pytest.approx(1.628, abs=0.001)  # the asymptotic 1 % point


def test_a_learner_who_misses_nobody_believes_so():
    facts = seeing_all(FACTS, COLUMNARIS.organism)
    assert facts.conversion["look_finds"].low == 1.0
    assert {p.low for p in facts.organisms["columnaris"].parameter if p.name == "seen_eye"} == {1.0}
    assert FACTS.conversion["look_finds"].low < 1.0


def test_the_page_says_so_when_it_is_not_as_it_must_be():
    even = np.tile((np.arange(60) + 0.5)[:, None] / 60, 3)
    good = {AS_IT_IS: {"a": even}, DOUBLED: {"a": even**3}, PERFECT: {"a": even**3}}
    text, right = page(good)
    assert right
    assert "**As it must be**" in text
    for wrong in (AS_IT_IS, DOUBLED, PERFECT):
        text, right = page({**good, wrong: {"a": even**3 if wrong == AS_IT_IS else even}})
        assert not right
        assert "**NOT as it must be**" in text
    assert drawn({"a": even}).count("<rect") == 1 + 3 * 21
