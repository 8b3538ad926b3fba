"""Where every course can be simulated, the planner's front with its usual share is within 1 % of theirs.

Measures, named beforehand (`scripts/planning/measure.py`), as shares of a scale: volume of trade-offs lost,
mean step behind each of the enumerated front, and what is worse of the kinds a keeper is shown. At full size:
docs/plan.md (`make plans`). A bad planner has to be seen by them.
"""

from functools import cache
from types import SimpleNamespace

import numpy as np
import pytest
from msgspec.structs import replace

from scripts.planning import measure
from scripts.planning.asked import SMALL
from scripts.planning.page import WITHIN
from scripts.planning.problems import Ready
from scripts.planning.rivals import at_random, careless
from tankward.model.run import warm
from tankward.quantities.parse import Estimate
from tankward.treat.planner.records import Line, Score
from tests.treat.tanks import FACTS

SHARE = 0.2


@cache
def told(n):
    warm(wait=True)
    ready = Ready(SMALL[n], FACTS)
    return SimpleNamespace(ready=ready, every=ready.enumerated(), share=round(SHARE * len(ready.points)))


@pytest.mark.slow
@pytest.mark.parametrize("n", range(len(SMALL)), ids=[p.name for p in SMALL])
def test_the_front_is_within_a_hundredth_of_the_enumerated_one(n):
    one = told(n)
    found = one.ready.searched(one.share)
    judged = measure.held([f.score for f in found], one.every)
    assert len(found) <= one.share < len(one.every) / 4
    assert judged.lost <= WITHIN
    assert judged.step <= WITHIN
    assert judged.kind <= WITHIN


@pytest.mark.slow
def test_points_at_random_are_seen_to_be_worse():
    """In the middle of seven seeds, on at least one problem they lose more than is allowed."""
    lost = [
        np.median([measure.held(at_random(one.ready, one.share, seed), one.every).lost for seed in range(7)])
        for one in (told(n) for n in range(len(SMALL)))
    ]
    assert max(lost) > WITHIN


@pytest.mark.slow
def test_a_search_that_is_blind_to_lines_is_seen():
    blind = [s for n in range(len(SMALL)) for s in careless(told(n).ready, told(n).share)]
    assert any(not s.sound for s in blind)


def score(left, harm=0.01, days=10.0, minutes=100.0, passed=0.0):
    line = Line(what="nh3", about="nh3_n", line=0.02, unit="mg/L", chance=passed, low=0, high=1)
    return Score(
        goal="gone", clear=Estimate.exact(1 - left), lines=(line,), harm=harm, days=days,
        minutes=(minutes, minutes), cost=None, draws=64,
    )  # fmt: skip


EVERY = [score(0.1, days=30), score(0.2, days=20), score(0.4, days=10), score(0.5, days=40)]


def test_the_same_front_loses_nothing():
    judged = measure.held(EVERY[:3], EVERY)
    assert (judged.lost, judged.step, judged.kind) == pytest.approx((0, 0, 0))


def test_each_course_left_out_is_lost():
    for n in range(3):
        judged = measure.held([s for k, s in enumerate(EVERY[:3]) if k != n], EVERY)
        assert judged.lost > WITHIN
        assert judged.step > WITHIN


def test_a_kind_that_was_missed_is_seen():
    assert measure.held(EVERY[1:], EVERY).kinds[0] == pytest.approx(0.1 / 0.3)
    assert measure.held(EVERY[:2], EVERY).kinds[2] == pytest.approx(
        0.0
    )  # 0.4 is no more given up for the days
    assert measure.held(EVERY[:1], EVERY).kinds[2] == pytest.approx(10 / 20)


def test_what_passes_a_line_adds_nothing_however_good_it_is():
    wonder = score(0.0, harm=0.0, days=1.0, minutes=1.0, passed=0.9)
    assert measure.held([*EVERY[1:], wonder], EVERY) == measure.held(EVERY[1:], EVERY)
    assert measure.held([wonder], EVERY).lost == 1.0


def test_hairs_do_not_count():
    """A scale is never less than fifty noticeable differences."""
    hair = [replace(s, harm=s.harm + 0.001) for s in EVERY]
    assert measure.held(hair, EVERY).step == pytest.approx(0.01)
