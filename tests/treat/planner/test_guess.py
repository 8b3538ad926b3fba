"""What a draft is guessed to come to, against the equations solved anew; in which order they are tried."""

import numpy as np
import pytest

from tankward.treat.planner import guess
from tankward.treat.planner.guess import Draft, Field, _chosen
from tankward.treat.planner.way import Screen
from tests.treat.planner.test_enumerated import score

TOPS = (2, 3, 0, 1)
RNG = np.random.default_rng(3)
POINTS = [(a, b, 0, d) for a in range(3) for b in range(4) for d in range(2)]


def draft(point):
    a, b, _, d = point
    return Draft(point, Screen(0.01 * a, 5.0 + a * b, 3.0 + d, 4 + b), minutes=10.0 * b, cost=None)


def told(point):
    a, b, _, d = point
    return score(0.1 + 0.08 * a + 0.05 * b * d, harm=0.02 + 0.01 * a * d, days=3.0 + d, minutes=10.0 * b)


def field(points, known, later=()):
    one = Field(TOPS)
    one.add([draft(p) for p in points])
    for p in known:
        one.tell(p, told(p))
    one.add([draft(p) for p in later])
    return one


MEAN, SPREAD = np.zeros(4), np.ones(4)


def solved(points, known):
    """All at once, by the library's own solver."""
    one = field(points, ())
    alike = np.array([one._alike(n, slice(None)) for n in range(len(points))])
    at = [points.index(p) for p in known]
    values = np.array([guess._told(told(p)) for p in known])
    among = alike[np.ix_(at, at)] + guess.NOISE * np.eye(len(at))
    mean = values.mean(axis=0)
    found = mean + alike[:, at] @ np.linalg.solve(among, values - mean)
    whole = guess.SHARED + guess.FEW + guess.SCREENED
    unsure = whole - (alike[:, at] * np.linalg.solve(among, alike[at]).T).sum(axis=1)
    return found, unsure


def test_taken_in_one_by_one_it_is_as_solved_at_once():
    known = POINTS[::3]
    one = field(POINTS, known)
    found, unsure = solved(POINTS, known)
    assert one._unsure == pytest.approx(unsure, abs=1e-9)
    mean = one._values.mean(axis=0)
    rest = one._solved - one._ones[:, None] * mean
    assert mean + one._rows[: one.known, : one.size].T @ rest == pytest.approx(found, abs=1e-9)


def test_drafts_that_come_later_are_guessed_by_what_was_known_before():
    points, later, known = POINTS[:15], POINTS[15:], POINTS[1:13:3]
    whole = Field(TOPS)
    whole.add([draft(p) for p in points])
    whole.add([draft(p) for p in later])
    for p in known:
        whole.tell(p, told(p))
    one = field(points, known, later)
    for mine, its in zip(one.guessed(MEAN, SPREAD), whole.guessed(MEAN, SPREAD), strict=True):
        assert mine == pytest.approx(its, abs=1e-6)


def test_what_is_known_is_guessed_as_it_is():
    rows, over = field(POINTS, POINTS[::2]).guessed(MEAN, SPREAD)
    for n in range(0, len(POINTS), 2):
        left, harm, days, minutes, _ = guess.measures(told(POINTS[n]))
        assert rows[n, 0] == pytest.approx(left, abs=0.02)
        assert rows[n, 1] == pytest.approx(harm, abs=0.01)
        assert (rows[n, 2], rows[n, 3]) == (days, minutes)
    assert (over < 0).all()


def test_least_is_known_far_from_what_is_known_and_not_twice_at_one_place():
    one = field(POINTS, POINTS[:1])
    found = one.little_known(4)
    assert len({p for _, p in found}) == 4
    assert POINTS[0] not in {p for _, p in found}
    assert [u for u, _ in found] == sorted((u for u, _ in found), reverse=True)
    assert one.known == 1


def test_what_reaches_furthest_is_tried_first_and_what_likely_passes_a_line_is_not():
    sound = np.array([[0.5, 0.01, 10.0, 100.0, 0.0], [0.6, 0.01, 5.0, 50.0, 0.0]])
    rows = np.array([[0.2, 0.01, 10.0, 100.0, 0.0], [0.4, 0.01, 10.0, 100.0, 0.0], [0.0, 0.0, 1.0, 1.0, 0.0]])
    assert _chosen(rows, np.array([-9.0, -9.0, 9.0]), sound, 2) == [0, 1]
    assert _chosen(rows, np.array([-9.0, -9.0, -9.0]), sound, 1) == [2]


def test_where_nothing_is_sound_what_passes_its_line_least_is_tried():
    rows = RNG.random((4, 5))
    assert _chosen(rows, np.array([3.0, -1.0, 2.0, 0.5]), np.zeros((0, 5)), 2) == [1, 3]
