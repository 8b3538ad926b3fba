"""Which courses no other beats, and what the few that are shown are best at."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tankward.quantities.parse import Estimate
from tankward.treat.planner.front import GIVEN_UP, front, measures, named, unbeaten
from tankward.treat.planner.records import Line, Score

rows = st.lists(st.tuples(*[st.integers(0, 4)] * 3), min_size=1, max_size=30)


def score(clear=0.9, harm=0.01, days=10.0, minutes=100.0, cost=None, sound=True):
    line = Line(
        what="nh3", about="nh3_n", line=0.02, unit="mg/L as N", chance=0.0 if sound else 0.2, low=0, high=1
    )
    return Score(
        goal="gone", clear=Estimate.exact(clear), lines=(line,), harm=harm, days=days,
        minutes=(minutes, minutes), cost=cost, draws=64,
    )  # fmt: skip


def beats(a, b):
    return all(x <= y for x, y in zip(a, b, strict=True)) and a != b


@given(rows)
def test_none_that_is_kept_is_beaten_and_all_others_are(rows):
    kept = unbeaten(np.array(rows, float))
    for n, row in enumerate(rows):
        assert kept[n] == (not any(beats(other, row) for other in rows))


def test_what_passes_a_line_is_never_shown_however_good_it_is():
    scores = [score(clear=1.0, harm=0.0, sound=False), score(clear=0.8)]
    assert front(scores) == [1]
    assert [n.at for n in named(scores, [False, False], id_of(scores))] == [1]


def id_of(scores):
    return lambda n: n


def test_each_is_named_by_what_it_is_best_at():
    sure, gentle, soon = (
        score(clear=0.95, harm=0.04),
        score(clear=0.9, harm=0.0),
        score(clear=0.9, harm=0.03, days=3),
    )
    easy = score(clear=0.85, harm=0.04, minutes=20)
    scores = [sure, gentle, soon, easy]
    found = {n.at: n.best for n in named(scores, [False] * 4, id_of(scores))}
    assert found == {0: ("surest",), 1: ("gentlest",), 2: ("soonest",), 3: ("least-work",)}


def test_one_that_is_best_in_everything_stands_alone():
    scores = [score(clear=0.95, harm=0.0, days=3, minutes=10), score()]
    (only,) = named(scores, [False, False], id_of(scores))
    assert only.at == 0
    assert set(only.best) == {"surest", "gentlest", "soonest", "least-work"}


def test_no_work_at_all_is_no_best_if_it_clears_nothing():
    """Least work among those that clear it nearly as likely as the surest."""
    scores = [score(clear=0.95), score(clear=0.95 - GIVEN_UP - 0.01, minutes=0, days=0, harm=0)]
    assert [n.at for n in named(scores, [False, False], id_of(scores))] == [0]


def test_the_surest_without_medicine_is_always_there():
    scores = [score(clear=0.95), score(clear=0.4)]
    found = named(scores, [False, True], id_of(scores))
    assert [n.best[-1] for n in found] == ["least-work", "no-medicine"]


def test_courses_alike_are_shown_once():
    scores = [score(harm=0.04, clear=0.95), score(harm=0.0)]
    (only,) = named(scores, [False, False], lambda n: "the same")
    assert {"surest", "gentlest"} <= set(only.best)


def test_a_cost_that_nobody_knows_is_no_low_cost():
    scores = [score(cost=None), score(cost=2.0), score(cost=1.0, clear=0.88)]
    found = {n.at: n.best for n in named(scores, [False] * 3, id_of(scores))}
    assert "cheapest" in found[2]
    assert "cheapest" not in found.get(0, ())


def test_an_unknown_chance_counts_as_the_worst():
    unknown = replace(score(), clear=None)
    assert measures(unknown)[0] == 1.0
