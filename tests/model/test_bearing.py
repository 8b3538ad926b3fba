"""A life table into rows: what was read comes out again, whatever the rows."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import exp1

from tankward.model.lives.bearing import ages_of, growth_of, living_to, start_of_death
from tankward.model.lives.numbers import Numbers
from tankward.model.lives.tables import Around
from tests.model.lives import course
from tests.model.tanks import FACTS

FLUKE = "gyrodactylus"
READ = np.array([4.2])  # mean life of the paper [d]


def table(ageing, step):
    """Of the paper: first birth after 1 d, then every 2 to 2.5 d."""
    ages = 1.0 + step * np.arange(14)[:, None]
    return ages, living_to(ages, READ, np.array([ageing]))


@pytest.mark.parametrize("ageing", [0.7, 1.5, 3.0, 5.0, 7.0, 14.0])
def test_the_mean_life_is_what_was_asked_for(ageing):
    z = float(start_of_death(np.array([ageing]))[0])
    assert np.exp(z) * exp1(z) == pytest.approx(ageing, rel=1e-9)
    mean = quad(lambda a: living_to(np.array([[a]]), READ, np.array([ageing])).item(), 0, 60, limit=300)[0]
    assert mean == pytest.approx(4.2, rel=1e-6)


def test_the_paper_by_its_own_ages():
    """1.68 young in 4.2 d, few to a third birth: growth is 0.29 to 0.31, not 0.43 - 0.24 = 0.19."""
    ages, lives = table(5.0, 2.5)
    assert lives.sum() == pytest.approx(1.68, rel=0.07)
    assert lives[2] < 0.01
    assert 0.29 < growth_of(ages, lives)[0] < 0.31


def test_growth_is_the_root_of_euler_and_lotka():
    """All bear once at 1 d and once more at 2 d: x + x² = 1 for x = e^-growth, the golden section."""
    lives = np.array([[1.0], [1.0]])
    assert growth_of(np.array([[1.0], [2.0]]), lives)[0] == pytest.approx(np.log((1 + 5**0.5) / 2), rel=1e-12)
    assert growth_of(np.array([[1.0], [2.0]]), lives / 4)[0] < 0


@pytest.mark.parametrize("each", [1, 2, 3, 6])
def test_rows_have_the_young_and_the_growth_of_the_table(each):
    n = Numbers(FACTS.organisms[FLUKE], 64)
    a = ages_of(n, "worm", each)

    def through(x):
        one, two, more = (a.onward / (a.onward + a.death + x)) ** each
        return one * (1.0 + two / (1.0 - more))

    assert through(0.0) == pytest.approx(a.young, abs=1e-5)
    assert through(a.growth) == pytest.approx(1.0, abs=1e-9)
    assert a.stable.sum(axis=0) == pytest.approx(1.0, abs=1e-12)


def test_the_table_of_flows_grows_as_the_ages_say():
    """The fastest growth of the rows themselves, by the eigenvalues of their flows, at the warmth read."""
    told = course(FLUKE, 64)
    life, rows = told.life, told.life.gathered.of_stage("worm")
    ages = ages_of(life.numbers, "worm", life.organism.stage[0].rows)
    p = life.pace(Around(temp_c=np.full(64, 25.0), stress=np.zeros(64)))
    for d in (0, 9, 33):
        m = np.zeros((len(rows), len(rows)))
        at = {row: k for k, row in enumerate(rows)}
        for f, flow in enumerate(life.gathered.flows):
            if flow.source not in at or flow.gain not in at:
                continue
            m[at[flow.source], at[flow.source]] -= p.rate[f, d]
            m[at[flow.gain], at[flow.source]] += p.rate[f, d] * p.give[f, d]
            if flow.stays:
                m[at[flow.stays], at[flow.source]] += p.rate[f, d]
        m -= np.diag(p.die[rows, d])
        values, vectors = np.linalg.eig(m)
        top = int(values.real.argmax())
        assert values[top].real == pytest.approx(ages.growth[d], abs=1e-9)
        stable = np.abs(vectors[:, top].real)
        assert stable / stable.sum() == pytest.approx(ages.stable[:, d], abs=1e-9)


def test_warmer_water_is_faster_and_too_warm_bears_none():
    life = course(FLUKE, 64).life
    births = [f for f, flow in enumerate(life.gathered.flows) if flow.stays]
    at = [life.pace(Around(temp_c=np.full(64, t), stress=np.zeros(64))) for t in (21.0, 25.0, 27.5, 33.0)]
    cool, usual, warm, hot = (p.rate[births] for p in at)
    assert (cool < usual).all()
    assert (usual < warm).all()
    assert (hot == 0).all()
