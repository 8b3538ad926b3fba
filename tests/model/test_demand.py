"""What a dose takes of oxygen: never more than there is, and what is not met stays to be taken."""

import numpy as np
import pytest

from tankward.model.oracle import trace
from tankward.room.acts import Change, Dose
from tests.model.tanks import after, exact, run_of, tank

LITRES = 46.0
AT_H = 2.0
HUGE = (("formalin", 200.0), ("formalin", 2000.0), ("potassium_permanganate", 200.0), ("formalin", 2e5))
SOURCES = ("kla_20", "kla_more_20", "kla_surface_20", "planted")
SINKS = ("breath_50g", "waste_oxygen", "first_start_mg_h", "second_start_mg_h")


def dosed(substance, level, acts=(), **more):
    told = [(after(hours=AT_H), Dose(actives={substance: LITRES * level})), *acts]
    return run_of(tank(volume_l=exact(LITRES), **more), told, hours=48)


def alone(run):
    """Nothing but the dose takes oxygen, and none comes in."""
    for name in SOURCES + SINKS:
        getattr(run.th, name)[:] = 0.0
    for guild in ("first_guild_mg_h", "second_guild_mg_h"):
        run.start[guild] = np.zeros(run.draws)
    return run


def from_the_dose(found):
    at = [n for n, m in enumerate(found.minutes) if m == AT_H * 60][-1]
    return found.fields["oxygen_mg"][at:] / LITRES, found.fields["demand_mg"][at:] / LITRES


@pytest.mark.parametrize(("substance", "level"), HUGE)
def test_no_oxygen_is_taken_that_is_not_there(substance, level):
    found = trace(dosed(substance, level))
    assert found.lowest["oxygen_mg"] >= 0.0
    assert found.lowest["demand_mg"] >= 0.0


@pytest.mark.parametrize(("substance", "level"), HUGE)
def test_what_is_not_met_stays_as_demand(substance, level):
    """In a closed tub each milligram that is gone from the water is gone from what is to be taken, and no
    other.
    """
    oxygen, demand = from_the_dose(trace(alone(dosed(substance, level))))
    assert np.median(oxygen[-1]) < 0.02
    assert (oxygen - demand) == pytest.approx((oxygen - demand)[0] + 0 * oxygen, abs=0.02)
    assert (demand[-1] > demand[0] - 9.0).all()


def test_a_small_dose_takes_what_it_asks_for():
    """2 mg/L asked, and 8 there: half of it in the time of the draw, as Monod slows it."""
    run = alone(dosed("formalin", 20.0))
    oxygen, demand = from_the_dose(trace(run))
    taken = demand[0] - demand[-1]
    assert oxygen[0] - oxygen[-1] == pytest.approx(taken, rel=1e-9)
    free = demand[0] * (1 - 0.5 ** (46.0 / run.th.demand_half_h))
    assert (taken <= free * (1 + 1e-9)).all()
    assert (taken > 0.8 * free).all()


def test_air_pays_what_is_owed():
    """With air the water is empty for a while; all of it is met in the end, and the water fills again."""
    run = dosed("potassium_permanganate", 400.0, air=True)
    oxygen, demand = from_the_dose(trace(run))
    assert np.median(oxygen.min(axis=0)) < 4.0
    assert np.median(demand[-1] / demand[0]) < 0.1
    assert np.median(oxygen[-1]) > 7.0


def test_a_change_takes_the_demand_out():
    change = (after(hours=3.0), Change(share=0.9))
    plain, changed = (from_the_dose(trace(dosed("formalin", 200.0, told)))[1][-1] for told in ((), (change,)))
    assert (changed < 0.2 * plain + 1e-9).all()
