"""Simplified curves: at most 0.2 px off, both points of a jump, nothing drawn across a gap."""

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from tankward.show.charts.curves import cut, fan, path, simplify

PROMISED_PX = 0.2
steps = arrays(np.float64, st.integers(2, 80), elements=st.sampled_from([0.0, 0.4, 1.0, 3.7]))


def points(d):
    """The polylines that path data draws."""
    lines = []
    for piece in filter(None, d.split("M")):
        start, _, moves = piece.partition("l")
        pairs = [tuple(map(float, p.split())) for p in re.findall(r"-?[\d.]+ -?[\d.]+", moves)]
        lines.append(np.cumsum([tuple(map(float, start.split())), *pairs], axis=0))
    return lines


def distance(point, line):
    """Of a point from the nearest piece of a polyline."""
    if len(line) == 1:
        return float(np.hypot(*(line[0] - point)))
    a, b = line[:-1], line[1:]
    ab = b - a
    length2 = np.maximum((ab**2).sum(axis=1), 1e-12)
    t = np.clip(((point - a) * ab).sum(axis=1) / length2, 0, 1)
    return float(np.hypot(*(a + t[:, None] * ab - point).T).min())


@given(steps, st.data())
def test_no_point_lies_further_off_than_promised(dx, data):
    x = np.cumsum(dx)
    y = data.draw(arrays(np.float64, x.size, elements=st.floats(0, 200, allow_nan=False)))
    (line,) = points(path(x, y))
    assert max(distance(np.array(p), line) for p in zip(x, y, strict=True)) <= PROMISED_PX


@given(st.floats(0.001, 0.2), st.floats(1, 90))
def test_smooth_curves_become_short(rate, height):
    x = np.linspace(0, 320, 673)
    y = height * np.exp(-rate * x)
    kept = simplify(x, y)
    assert kept.size < 60
    line = np.column_stack([x, y])[kept]
    assert max(distance(np.array(p), line) for p in zip(x, y, strict=True)) <= PROMISED_PX


@given(st.lists(st.integers(1, 98), min_size=1, max_size=6, unique=True), st.floats(0.05, 50))
def test_a_jump_keeps_the_point_before_and_the_point_after(at, rise):
    x = np.arange(100.0)
    y = np.full(100, 10.0)
    for place in sorted(at, reverse=True):
        x, y = np.insert(x, place, x[place]), np.insert(y, place, y[place])
        y[place + 1 :] += rise
    kept = set(simplify(x, y))
    jumps = np.flatnonzero(np.diff(x) == 0)
    assert jumps.size == len(at)
    assert kept >= {*jumps, *(jumps + 1)}


def test_a_straight_line_is_its_two_ends():
    x = np.linspace(0, 300, 500)
    assert list(simplify(x, 2 + 0.5 * x)) == [0, 499]


def test_what_is_missing_is_not_drawn_across():
    x = np.arange(10.0)
    y = np.where((x > 3) & (x < 6), np.nan, x)
    before, after = points(path(x, y))
    assert before[-1][0] == 3
    assert after[0][0] == 6


def test_nothing_known_draws_nothing():
    assert path(np.arange(4.0), np.full(4, np.nan)) == ""
    assert path(np.empty(0), np.empty(0)) == ""


def test_a_fan_closes_and_holds_its_edges():
    x = np.arange(0.0, 50.0)
    (line,) = points(fan(x, 40 + 0 * x, 10 + 0 * x))
    assert {tuple(p) for p in line} == {(0.0, 10.0), (49.0, 10.0), (49.0, 40.0), (0.0, 40.0)}


def test_past_and_forecast_meet_at_now():
    x, y = np.arange(5.0), np.arange(5.0) * 2
    (px, py), (ax, ay) = cut(x, y, 2.5)
    assert (px[-1], py[-1]) == (ax[0], ay[0]) == (2.5, 5.0)


@pytest.mark.parametrize(("at", "past", "ahead"), [(-1.0, 0, 5), (9.0, 5, 0)])
def test_now_outside_the_chart(at, past, ahead):
    before, after = cut(np.arange(5.0), np.arange(5.0), at)
    assert (before[0].size, after[0].size) == (past, ahead)
