"""Whole animals: their mean is the kernel's, their share of extinct runs is the chance that it is gone."""

from types import SimpleNamespace

import msgspec
import numpy as np
import pytest

from tankward.model.clearance import gone_by
from tankward.model.lives.bearing import ages_of
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
    after = passed.rows[passed.minutes.index(DAY) + 1, told.life.table.hosted].sum(axis=0)
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


def test_a_single_worm_ends_as_often_as_its_rows_say():
    """One newborn fluke: that it bears and goes on is one event, in the chance as in the animals."""
    told = one_fish(FLUKE, 0.0, days=8)
    told.start[told.life.table.hosted[0]] = 1.0
    found = follow(told, (2 * DAY, 8 * DAY), seed=11, copies=150, counted=True)
    lines = Lines(told, [2 * DAY, 8 * DAY])
    share = by_draw(found.gone, 150).mean(axis=1)
    error = np.sqrt(np.maximum(lines * (1 - lines), 1e-3) / 150)
    assert np.mean(np.abs(share - lines) / error > 3) < 0.03
    assert share.mean(axis=1) == pytest.approx(lines.mean(axis=1), abs=4 * error.mean() / 8)


def Lines(told, days):
    """The chance that the line of one animal has ended, from that of a Poisson number: 1 + ln of it."""
    return 1.0 + np.log(gone_by(told, days).chance)


def test_a_worm_that_bears_at_an_age_ends_less_often_than_by_a_constant_rate():
    """With the same mean life and the same growth of all; b and d constant: d/b of single worms end."""
    told = one_fish(FLUKE, 0.0, days=40)
    told.start[told.life.table.hosted[0]] = 1.0
    life = told.life
    ages = ages_of(life.numbers, "worm", life.organism.stage[0].rows)
    death = life.numbers.of("natural", "worm", 25.0)
    constant = death / (death + np.maximum(ages.growth, 0.0))
    ends = Lines(told, [40 * DAY])[0]
    assert (ends < constant + 0.05).all()
    assert np.median(ends) < np.median(constant) - 0.2
