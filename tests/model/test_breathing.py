"""Breathing goes by mass, warmth and what is eaten."""

import numpy as np
import pytest

from tankward.model.oracle import Water, trace
from tankward.room.acts import Feed
from tests.model.tanks import START, after, exact, run_of, tank


def breath(act, **more):
    """mg/h of each draw at the beginning, with this act done."""
    run = run_of(tank(**more), [(START, act)], hours=1)
    step = run.table.steps[0]
    return run, run.body.pace(Water(run).environment(step, run.th.temp_c), run.th, run.draws).breath_mg_h


def test_the_usual_ration_adds_what_the_fact_says():
    run, fed = breath(Feed(usual=1.0))
    _, fasted = breath(Feed(usual=0.0))
    assert fed / fasted == pytest.approx(run.th.breath_fed)


def test_half_the_ration_adds_half_of_it():
    run, half = breath(Feed(usual=0.5))
    _, fasted = breath(Feed(usual=0.0))
    assert half / fasted == pytest.approx(1 + (run.th.breath_fed - 1) / 2)


def test_more_than_they_can_eat_adds_no_more():
    fasted = breath(Feed(usual=0.0))[1]
    assert (breath(Feed(usual=8.0))[1] <= 3.0 * fasted * (1 + 1e-12)).all()
    assert breath(Feed(usual=100.0))[1] == pytest.approx(3.0 * fasted)


def test_weighed_food_counts_against_the_usual_ration():
    run, fed = breath(Feed(food_g=0.1))
    _, fasted = breath(Feed(usual=0.0))
    ration = 0.1 * 1000 / 24 / run.th.ration_mg_h
    assert fed / fasted == pytest.approx(np.minimum(1 + (run.th.breath_fed - 1) * ration, 3.0))


def test_who_stops_feeding_has_more_oxygen_within_the_day():
    """Before any of the ammonia is gone: breath alone is lower from the hour on."""
    told = {"living": None, "volume_l": exact(20.0), "filter": "none", "levels": {}}
    kept, stopped = (
        trace(run_of(tank(**told), [(after(hours=6), Feed(usual=usual))], hours=12)) for usual in (1.0, 0.0)
    )
    at = kept.minutes.index(12 * 60)
    more = stopped.fields["oxygen_mg"][at] - kept.fields["oxygen_mg"][at]
    assert (more > 0).all()
    assert (stopped.fields["co2_mg"] == 0).all()  # of a pH that nobody read


def test_nobody_breathes_where_nobody_is():
    run, none = breath(Feed(usual=1.0), living=None)
    assert (none > 0).all()  # not told who: reckoned with some
    run.th.breath_50g[:] = 0.0
    step = run.table.steps[0]
    p = run.body.pace(Water(run).environment(step, run.th.temp_c), run.th, run.draws)
    assert (p.breath_mg_h == 0).all()
