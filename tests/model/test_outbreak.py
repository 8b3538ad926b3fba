"""Organisms forward: against a general solver of high order with the same body, and what has to be so."""

import shutil

import numpy as np
import pytest

from tankward.knowledge.loader import FOLDER, load
from tankward.model.events import Stocked
from tankward.model.lives.columns import shares
from tankward.model.lives.harm import nodes
from tankward.model.organisms import fish_number
from tankward.model.outbreak import run
from tankward.room.acts import Bath, Change, Lost, Siphon
from tests.model.lives import course, daily, exactly, off, water
from tests.model.tanks import FACTS

TARGET = 2e-4
ACTS = ((1.5, Change(share=0.4)), (2.25, Siphon(floor_share=0.8)))
FORMALIN, PRAZIQUANTEL = {"formalin": (25.0, 0.5)}, {"praziquantel": (2.5, 2.0)}


def fish_and_all(told, passed):
    """Fish alive and dead, at every recorded time."""
    lost = passed.rows[:, told.life.table.lost]
    return np.array([fish_number(told.life, y) for y in passed.rows]) + lost


@pytest.mark.parametrize("organism", sorted(FACTS.organisms))
def test_every_organism_holds_the_target_at_the_step_that_is_taken(organism):
    told = course(organism, 4, days=3, acts=ACTS)
    assert off(told, exactly(told), run(told)) < TARGET


@pytest.mark.parametrize(
    ("organism", "levels"),
    [("gyrodactylus", PRAZIQUANTEL), ("ichthyophthirius", FORMALIN), ("trichodina", FORMALIN)],
)
def test_a_deadly_substance_does_not_spoil_it(organism, levels):
    told = course(organism, 8, days=2, levels=levels)
    assert told.reach
    assert off(told, exactly(told), run(told)) < TARGET


@pytest.mark.parametrize("organism", ["dactylogyridae", "camallanus"])
def test_half_the_step_is_a_sixteenth_of_the_error(organism):
    true = exactly(course(organism, 8, days=3, acts=ACTS))
    coarse, fine = (course(organism, 8, days=3, acts=ACTS, every=every) for every in (360, 180))
    ratio = off(coarse, true, run(coarse)) / off(fine, true, run(fine))
    assert 8 < ratio < 40


@pytest.mark.parametrize("organism", sorted(FACTS.organisms))
def test_no_row_falls_below_nothing(organism):
    passed = run(course(organism, 32, days=4, every=360))
    assert passed.rows.min() >= -1e-9
    assert np.isfinite(passed.rows).all()


@pytest.mark.parametrize("organism", ["streptococcus", "columnaris", "ichthyophthirius", "gyrodactylus"])
def test_no_fish_is_made_or_forgotten(organism):
    told = course(organism, 16, days=6)
    assert fish_and_all(told, run(told)) == pytest.approx(20.0, rel=1e-4)


@pytest.mark.parametrize("act", [Change(share=0.5), Lost(share=0.5)])
def test_a_change_or_a_loss_takes_its_share_of_those_that_swim(act):
    """Half the water, of which 85 to 100 % of the swimmers go along; what sits on fish stays."""
    told = course("ichthyophthirius", 64, days=2, acts=((1.0, act),))
    passed = run(told)
    at = passed.minutes.index(1440)
    rows = told.life.gathered.of_stage("theront"), told.life.gathered.of_stage("trophont")
    left, kept = (passed.rows[at + 1, r].sum(axis=0) / passed.rows[at, r].sum(axis=0) for r in rows)
    assert ((left > 0.49) & (left < 0.6)).all()
    assert kept == pytest.approx(1.0)


def test_a_bath_reaches_what_sits_on_the_fish_and_nothing_else():
    bath = Bath(actives={"sodium_chloride": 250_000.0}, volume_l=10.0, minutes=15)
    told = course("gyrodactylus", 64, days=2, acts=((1.0, bath),))
    passed = run(told)
    at = passed.minutes.index(1440)
    left = passed.rows[at + 1] / passed.rows[at]
    worm, out = told.life.gathered.of_stage("worm")[0], told.life.gathered.of_stage("detached")[0]
    assert np.median(left[worm]) < 0.2
    assert left[out] == pytest.approx(1.0)


def test_fish_that_leave_take_theirs_along():
    told = course("gyrodactylus", 16, days=2, acts=((1.0, Stocked(share=0.25)),))
    passed = run(told)
    at = passed.minutes.index(1440)
    table = told.life.table
    for row in (table.fish, *table.hosted):
        assert passed.rows[at + 1, row] == pytest.approx(0.25 * passed.rows[at, row])


def test_an_untreated_fluke_outbreak_ends_by_itself():
    """Fish that resist end it: the top comes within a fortnight, and a month later most is gone."""
    told = course("gyrodactylus", 256, days=28, every=120)
    worm = told.life.gathered.of_stage("worm")[0]
    worms = np.median(daily(run(told))[:, worm], axis=1)
    assert 3 <= worms.argmax() <= 14
    assert worms[28] < worms.max() / 4


def test_below_its_temperatures_nothing_is_born_and_stages_stand_still():
    life = course("dactylogyridae", 64, days=1).life
    cold, warm = (life.pace(water(64, days=1, temp_c=t).around(0, after=True)) for t in (1.0, 25.0))
    for f, flow in enumerate(life.gathered.flows):
        if not flow.lose:
            assert cold.rate[f].max() == 0.0 < warm.rate[f].min()
        elif flow.source in life.gathered.of_stage("egg"):
            assert cold.rate[f] == pytest.approx(12 / 365)


def test_a_stage_in_the_warmth_dies_on_the_fish():
    cool, hot = (run(course("ichthyobodo", 64, days=3, temp_c=t)).rows[-1] for t in (20.0, 33.0))
    assert np.median(hot[1] / cool[1]) < 0.1


def test_the_burden_is_spread_over_the_fish_with_its_mean_kept():
    k = np.array([0.1, 0.5, 1.0, 2.5])
    assert nodes(k).mean(axis=0) == pytest.approx(1.0, abs=1e-9)
    assert (np.diff(nodes(k)[-1]) < 0).all()
    # Exponential: the eighth with most carries (1 + ln 8)/8 of all.
    assert nodes(np.array([1.0]))[-1] == pytest.approx([1 + np.log(8)], rel=2e-3)


def test_fewer_draws_are_the_first_of_more():
    few, many = (run(course("spironucleus", draws, days=2, every=60)).rows for draws in (64, 128))
    assert few == pytest.approx(many[:, :, :64], rel=1e-9, abs=1e-12)


def test_every_drawn_name_is_even_and_kept():
    for organism in FACTS.organisms.values():
        for row in organism.parameter:
            numbers = shares(row.name, 256)
            assert 0 < numbers.min() < 0.02
            assert 0.98 < numbers.max() < 1


def test_one_more_organism_is_one_more_file(tmp_path):
    """A louse of the moon: written as a file, loaded, run; no line of code knows it."""
    text = (FOLDER / "organisms/argulus.toml").read_text(encoding="utf-8")
    text = text.replace('id = "argulus"', 'id = "moon_louse"', 1)
    text = text.replace('{name = "start", low = 0.3, high = 3', '{name = "start", low = 3, high = 30', 1)
    folder = tmp_path / "facts"
    shutil.copytree(FOLDER, folder)
    (folder / "organisms/moon_louse.toml").write_text(text, encoding="utf-8")
    facts = load(folder)
    mine, other = (daily(run(course(name, 64, days=4, facts=facts))) for name in ("moon_louse", "argulus"))
    hosted = course("moon_louse", 64, facts=facts).life.table.hosted
    assert mine[0, hosted].sum() > 5 * other[0, hosted].sum()
    assert np.isfinite(mine).all()
