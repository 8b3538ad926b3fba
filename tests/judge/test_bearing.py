"""The level that everybody bears: never one that the judge itself would refuse; unknown is never safe."""

import math

import pytest

from tankward.judge.bearing import animals, bearable, harmed, hours_tested, safe_level
from tankward.judge.verdicts import judge_level
from tests.judge.tanks import FACTS, group

HERE = [group("neon_rainbow", 10), group("amano_shrimp", 8), group("nerite", 4), group("java_moss", 1)]
SINGLE = [s.id for s in FACTS.substances.values() if not s.parts and s.id != "heat"]


@pytest.mark.parametrize("substance", SINGLE)
def test_nobody_is_refused_at_what_is_called_bearable(substance):
    """And a little over it somebody is, unless nothing higher was ever recommended or measured."""
    for limit in animals(substance, HERE, FACTS):
        level = bearable(limit, FACTS)
        if level:
            assert judge_level([limit], level, level, level, 24.0)[0].says != "refused"
            assert limit.level is not None  # nobody knows: no level is called bearable


def test_copper_leaves_no_level_for_shrimp_and_snails():
    found = safe_level("copper", HERE, FACTS, published=2.5)
    assert {"amano shrimp", "nerite"} <= set(found.none)
    assert found.level is not None and found.level < 2.5


def test_the_published_top_is_never_passed():
    found = safe_level("metronidazole", HERE, FACTS, published=6.6, published_from=("SRC", "published-read"))
    assert (found.level, found.who, found.source) == (6.6, (), "SRC")


def test_the_worst_off_sets_it():
    """Levamisole: half of what is recommended for those that need care."""
    found = safe_level("levamisole", HERE, FACTS, published=5.0)
    assert found.level == 2.5
    assert set(found.who) == {"amano shrimp", "nerite"}


def test_unknown_is_said_and_no_level():
    found = safe_level("kanamycin", [group("amano_shrimp", 8)], FACTS, published=None)
    assert (found.level, found.unknown) == (None, ("amano shrimp",))


def test_plants_set_no_level():
    assert all(x.kind_of != "plant" for x in animals("copper", HERE, FACTS))


def test_who_is_killed_is_not_left_in_it():
    assert harmed("copper", 0.5, HERE, FACTS).within_h == 0.0
    assert harmed("metronidazole", 5.0, HERE, FACTS).within_h == math.inf


def test_a_level_that_was_tested_in_a_bath_is_borne_as_long_as_the_bath():
    """Sodium chloride: what stands over every course was given as a bath of minutes or hours."""
    hours = hours_tested("sodium_chloride", 5_000.0, FACTS)
    assert 0.0 < hours < 24.0
    assert hours_tested("sodium_chloride", 1e6, FACTS) == 0.0
