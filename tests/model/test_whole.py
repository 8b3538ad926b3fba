"""Whole animals: their mean is the kernel's, their share of extinct runs is the chance that it is gone."""

from types import SimpleNamespace

import msgspec
import numpy as np
import pytest

from tankward.model.aged import aged, pace_of_births
from tankward.model.clearance import gone_by
from tankward.model.outbreak import run
from tankward.model.whole import follow
from tankward.quantities.faults import BadInput
from tankward.room.acts import Bath, Change
from tests.model.lives import DAY, course, daily, herd

FLUKE, GILL, SPOT = "gyrodactylus", "dactylogyridae", "ichthyophthirius"


def one_fish(organism, burden, *, days, harm=False, resisting=False, litres=2.0, gram=1.0, **told):
    """Four draws of the 64, one fish each, so many of the first stage on it and nothing else."""
    at = herd(64, fish=1.0, litres=litres, gram=gram, turnover=0.0)
    told = course(organism, 64, days=days, at=at, **told)
    life = told.life
    start = np.zeros_like(told.start)
    start[0] = start[life.table.fish] = 1.0
    start[life.table.hosted[0]] = burden
    changed = {} if resisting else {"resist_share": np.zeros(64)}
    if not harm:
        changed["harm"] = SimpleNamespace(**{**life.harm.__dict__, "most": np.zeros(64)})
    return msgspec.structs.replace(told, start=start, life=msgspec.structs.replace(life, **changed))


def by_draw(values, copies):
    """Runs as copies × draws."""
    return values.reshape(*values.shape[:-1], copies, 64)


@pytest.mark.parametrize(
    ("organism", "burden", "days", "copies"), [(FLUKE, 3, 4, 200), (GILL, 3, 4, 50), (SPOT, 4, 3, 60)]
)
def test_the_mean_of_many_is_what_the_kernel_says(organism, burden, days, copies):
    """Few on a fish that neither resists nor dies: the linear form holds, and so its mean."""
    told = one_fish(organism, burden, days=days)
    found = follow(told, (days * DAY,), seed=1, copies=copies, counted=True)
    mean = daily(run(told))[days]
    counts = by_draw(found.rows[0], copies)
    error = counts.std(axis=1) / np.sqrt(copies)
    off = np.abs(counts.mean(axis=1) - mean) / np.maximum(error, 0.02)
    # A few of so many lie three standard errors off by chance alone; a wrong rate puts all of them off.
    assert np.mean(off > 3) < 0.03
    z = (counts.mean(axis=1) - mean).sum(axis=1) / np.sqrt((error**2).sum(axis=1) + 0.01)
    assert np.abs(z).max() < 4


@pytest.mark.parametrize("organism", [FLUKE, GILL])
def test_the_share_of_runs_that_end_is_the_chance_that_it_is_gone(organism):
    """A Poisson number to begin with; the chance holds whatever stays or comes back, so the corpse too."""
    acts = ((2.0, Change(share=0.5)),)
    told = one_fish(organism, 1.0, days=4, acts=acts)
    chance = gone_by(told, [2 * DAY, 4 * DAY]).chance
    found = follow(told, (2 * DAY, 4 * DAY), seed=2, copies=100)
    share = by_draw(found.gone, 100).mean(axis=1)
    error = np.sqrt(np.maximum(chance * (1 - chance), 1e-4) / 100)
    assert np.mean(np.abs(share - chance) / error > 3) < 0.03
    assert share.mean() == pytest.approx(chance.mean(), abs=4 * error.mean() / 8)


def test_a_bath_takes_its_share_of_them_one_by_one():
    bath = Bath(actives={"sodium_chloride": 250_000.0}, volume_l=10.0, minutes=15)
    told = one_fish(FLUKE, 40, days=2, acts=((1.0, bath),))
    found = follow(told, (DAY + 1,), seed=3, copies=50, counted=True)
    passed = run(told)
    after = passed.rows[passed.minutes.index(DAY) + 1, told.life.table.hosted[0]]
    assert by_draw(found.burden[0], 50).mean(axis=0) == pytest.approx(after, rel=0.25, abs=0.6)


def test_a_fish_resists_or_does_not_and_its_burden_shows_it():
    """By day 14 many fish that resist are rid of it; those that do not carry more than ever."""
    told = one_fish(FLUKE, 2, days=14, resisting=True)
    found = follow(told, (14 * DAY,), seed=4, copies=2, counted=True)
    none = follow(one_fish(FLUKE, 2, days=14), (14 * DAY,), seed=4, copies=2, counted=True)
    assert found.gone.mean() > none.gone.mean() + 0.1
    assert np.median(found.burden) < 0.7 * np.median(none.burden)
    assert found.burden.max() > none.burden.mean()


def test_a_fish_that_dies_takes_what_it_carries_along():
    told = one_fish(FLUKE, 400, days=2, harm=True, gram=0.1)
    found = follow(told, (0, 2 * DAY), seed=5, counted=True)
    lost = found.rows[-1, told.life.table.lost]
    assert found.alive[0].all()
    assert 0 < lost.sum() <= 64
    assert (found.burden[-1][lost > 0] == 0).all()
    assert (found.alive[-1] == (lost == 0)).all()


def test_the_same_seed_is_the_same_animals_and_another_is_not():
    told = one_fish(FLUKE, 3, days=3)
    one, again, other = (follow(told, (3 * DAY,), seed=s, counted=True).rows for s in (6, 6, 7))
    assert (one == again).all()
    assert (one != other).any()


def test_what_grows_past_all_counting_is_said_to():
    told = one_fish(FLUKE, 30, days=4)
    found = follow(told, (4 * DAY,), seed=8, counted=True, most=60)
    assert 0 < found.beyond.sum() < 64
    assert (found.rows[-1][:, ~found.beyond].sum(axis=0) <= 60).all()


def test_only_one_fish_is_followed_where_each_has_its_own_burden():
    with pytest.raises(BadInput, match="more than the one"):
        follow(course(FLUKE, 64, days=1), (DAY,), seed=1)
    with pytest.raises(BadInput, match="counted in fish"):
        follow(course("streptococcus", 64, days=1), (DAY,), seed=1)


def with_ages(burden, *, days):
    """Flukes that bear at an age, a Poisson number of each age to begin with."""
    told = one_fish(FLUKE, burden, days=days)
    made = aged(told.life, told.around.around(0, after=True))
    start = np.zeros((made.life.table.rows, 64))
    start[: len(told.start)] = told.start
    start[list(made.rows)] = burden * made.stable
    return told, msgspec.structs.replace(told, life=made.life, start=start), made.mothers


def test_worms_that_bear_at_an_age_have_the_mean_of_the_kernel():
    plain, told, mothers = with_ages(3.0, days=4)
    found = follow(told, (4 * DAY,), seed=10, copies=200, mothers=mothers)
    mean = daily(run(plain))[4][plain.life.table.hosted].sum(axis=0)
    counts = by_draw(found.burden[0], 200)
    z = (counts.mean(axis=0) - mean) / (counts.std(axis=0) / np.sqrt(200))
    assert np.abs(z).max() < 4.5
    assert abs(z.sum()) / 8 < 4


def test_a_single_worm_that_bears_at_an_age_ends_less_often():
    plain, told, mothers = with_ages(0.0, days=8)
    for one in (plain, told):
        one.start[plain.life.table.hosted[0]] = 1.0
    at_rate = follow(plain, (8 * DAY,), seed=11, copies=40, counted=True).gone.mean()
    at_age = follow(told, (8 * DAY,), seed=11, copies=40, counted=True, mothers=mothers).gone.mean()
    assert at_age < at_rate - 0.04


def test_the_life_table_of_the_paper_gives_the_growth_of_the_paper():
    """First birth after 1 d, then every 2.25 d, 0.24 deaths a day: 0.19 a day, by a model with ages 0.21."""
    growth = pace_of_births(np.array([1.0]), np.array([2.25]), 1000) - 0.24
    assert growth == pytest.approx([0.21], abs=0.005)
    # Born at 1 d and never again but once more at the same age: e^-x + e^-x = 1.
    assert pace_of_births(np.array([1.0]), np.array([1.0]), 10**6) == pytest.approx([np.log(2)], rel=1e-4)


def test_an_organism_without_ages_is_refused():
    told = one_fish(GILL, 1, days=1)
    with pytest.raises(BadInput, match="no age"):
        aged(told.life, told.around.around(0, after=True))
