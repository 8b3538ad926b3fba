"""How likely a count is: closed forms, what a look misses, what cannot be counted."""

import numpy as np
import pytest
from scipy.stats import betabinom, nbinom

from tankward.model.counts import (
    Heads,
    OnFish,
    carried,
    eyes_of,
    heads,
    log_beta_binomial,
    log_heads,
    log_likely,
    log_parasites,
    shows,
    speaks_of,
    tails,
)
from tankward.model.lives.tables import Herd
from tankward.model.organisms import life_of, start_of
from tankward.quantities.faults import BadInput
from tests.model.tanks import FACTS, START

DRAWS = 64
SPOT, ROD, WORM = "ichthyophthirius", "columnaris", "camallanus"


def seen(organism, gram=0.3, draws=DRAWS):
    """An organism in 60 L with 20 fish, and how it is seen."""
    full = np.ones(draws)
    herd = Herd(fish=20 * full, fish_g=gram * full, volume_l=60 * full, turnover_1_d=96 * full)
    life = life_of(FACTS, organism, herd, draws)
    return life, eyes_of(life, FACTS)


def count(number, of=20, sign="white_spots", high=None):
    return Heads(at=START, sign=sign, low=number, high=number if high is None else high, of=of)


@pytest.mark.parametrize("of", [1, 7, 20, 150])
@pytest.mark.parametrize("chance", [1e-5, 0.03, 0.4, 0.97])
@pytest.mark.parametrize("alike", [0.01, 0.1, 0.4])
def test_heads_are_beta_binomial(of, chance, alike):
    total = 1 / alike - 1
    for number in {0, 1, of // 3, of}:
        found = log_beta_binomial(number, of, np.array([chance]), np.array([alike]))[0]
        expected = betabinom.logpmf(number, of, chance * total, (1 - chance) * total)
        assert found == pytest.approx(expected, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("mean", [0.02, 3.0, 80.0])
@pytest.mark.parametrize("size", [0.2, 1.0, 15.0])
def test_parasites_are_negative_binomial(mean, size):
    for number in (0, 1, 6, 60):
        found = log_parasites(number, np.array([mean]), np.array([size]))[0]
        assert found == pytest.approx(nbinom.logpmf(number, size, size / (size + mean)), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("told", [count(0), count(6), count(20), count(1, high=20), count(2, high=9)])
def test_tails_meet_at_what_was_told(told):
    life, eyes = seen(SPOT)
    load = np.linspace(0.0, 30.0, DRAWS)
    more, fewer = tails(life, eyes, told, load)
    both = np.exp(log_heads(told, shows(life, eyes, load, told.sign), eyes.alike))
    assert more + fewer == pytest.approx(1.0 + both, abs=1e-9)


def test_tails_of_parasites_meet_too():
    life, eyes = seen(WORM)
    told, load = OnFish(at=START, sign="worms_at_vent", number=4, of=3), np.linspace(0.1, 9.0, DRAWS)
    more, fewer = tails(life, eyes, told, load)
    assert more + fewer == pytest.approx(1.0 + np.exp(log_likely(life, eyes, told, load)), abs=1e-9)


@pytest.mark.parametrize(("organism", "sign"), [(SPOT, "white_spots"), (ROD, "saddle_patch")])
def test_the_more_is_carried_the_more_show_it(organism, sign):
    life, eyes = seen(organism)
    load = np.geomspace(1e-4, 1.0 if organism == ROD else 1e3, 40)[:, None] * np.ones(DRAWS)
    chance = shows(life, eyes, load, sign)
    assert (np.diff(chance, axis=0) >= 0).all()
    assert ((chance > 0) & (chance < 1)).all()


def test_a_look_misses_some_however_many_there_are():
    life, eyes = seen(SPOT)
    chance = shows(life, eyes, np.full(DRAWS, 1e6), "white_spots")
    elsewhere = eyes.elsewhere["white_spots"]
    assert chance == pytest.approx(elsewhere + (1 - elsewhere) * eyes.finds, rel=0.02)
    assert eyes.finds.max() < 1.0


def test_without_any_a_few_show_it_for_another_reason():
    life, eyes = seen(SPOT)
    chance = shows(life, eyes, np.zeros(DRAWS), "white_spots")
    low, high = FACTS.signs["white_spots"].p_background
    assert low < np.median(chance) < high


def test_what_one_look_misses_the_next_misses_too():
    """Over the draws two looks at the same load go together: they share what the keeper finds."""
    life, eyes = seen(SPOT)
    chance = shows(life, eyes, np.full(DRAWS, 200.0), "white_spots")
    alone = (chance * (1 - chance)).mean() / 20
    assert chance.var() > alone / 2


def test_an_illness_is_seen_by_the_share_that_is_ill():
    life, eyes = seen(ROD)
    rows = start_of(life, np.full(DRAWS, 0.5), np.full(DRAWS, 25.0))
    assert (carried(life, eyes, rows) < 0.5).all()
    assert (carried(life, eyes, rows) > 0.1).all()


def test_a_count_speaks_of_a_load_that_would_make_it():
    life, eyes = seen(SPOT)
    for number in (3, 10):
        load = speaks_of(life, eyes, count(number)) / life.herd.fish_g
        assert np.median(shows(life, eyes, load, "white_spots")) == pytest.approx(number / 20, rel=0.02)


def test_none_of_none_tells_nothing():
    assert heads(START, "white_spots", 0, 0, 0) is None
    assert heads(START, "white_spots", 0, 0, 0.4) is None


def test_a_crowd_is_counted_by_its_share():
    told = heads(START, "white_spots", 3000, 3000, 10_000)
    assert (told.low, told.of) == (600, 2000)


@pytest.mark.parametrize(
    ("number", "of", "says"),
    [
        (-1, 20, "is no number of fish"),
        (float("nan"), 20, "is no number of fish"),
        (float("inf"), 20, "is no number of fish"),
        (25, 20, "is more than the 20 that were looked at"),
    ],
)
def test_what_cannot_be_counted_is_one_sentence(number, of, says):
    with pytest.raises(BadInput, match=says) as fault:
        heads(START, "white_spots", number, number, of)
    assert "\n" not in str(fault.value)
    assert "white_spots" in str(fault.value)
