"""When a level falls under a line, against closed forms of a fading dose."""

from types import SimpleNamespace

import numpy as np
import pytest

from tankward.model.falling import falls, levels_of, row_now
from tankward.quantities.faults import BadInput

HOURS = np.arange(0.0, 73.0)
HALF_H = np.linspace(10.0, 30.0, 101)  # one for each draw
EQUAL = np.full(HALF_H.size, 1.0)


def forecast(levels, now_h=0.0, weights=EQUAL):
    def of(name):
        return {"drug": levels}[name]

    record = SimpleNamespace(levels=of, in_fish={"drug": levels / 10})
    return SimpleNamespace(times_h=tuple(HOURS), now_h=now_h, record=record, weights=weights)


def fading(start=4.0, again_at=None):
    left = start * 0.5 ** (HOURS[:, None] / HALF_H)
    if again_at is None:
        return left
    later = np.maximum(HOURS[:, None] - again_at, 0.0)
    return left + np.where(HOURS[:, None] >= again_at, start * 0.5 ** (later / HALF_H), 0.0)


def test_a_fading_dose_is_under_a_quarter_after_two_half_lives():
    found = falls(forecast(fading()), "drug", 1.0)
    assert (found.over_now, found.over_at_end) == (1.0, 0.0)
    assert found.first == found.last
    low, high = 2 * np.quantile(HALF_H, [0.05, 0.95])
    assert found.first.low == pytest.approx(low, abs=1.5)
    assert found.first.value == pytest.approx(40.0, abs=1.5)
    assert found.first.high == pytest.approx(high, abs=1.5)


def test_the_next_dose_puts_off_the_end_and_not_the_beginning():
    found = falls(forecast(fading(again_at=48.0)), "drug", 2.0)
    assert found.first.value == pytest.approx(20.0, abs=1.5)
    assert found.last.low > 48.0
    assert 0.0 < found.over_at_end < 1.0
    assert found.last.high is None  # some of them are over it when the forecast ends


def test_what_never_falls_has_no_hour_and_what_never_was_over_falls_at_once():
    always, never = (falls(forecast(fading()), "drug", line) for line in (0.01, 9.0))
    assert (always.first.value, always.last.value, always.over_at_end) == (None, None, 1.0)
    assert (never.first.value, never.last.high, never.over_now) == (0.0, 0.0, 0.0)


def test_only_what_is_to_come_counts_and_draws_count_by_their_weight():
    later = falls(forecast(fading(), now_h=10.0), "drug", 1.0)
    assert later.first.value == pytest.approx(30.0, abs=1.5)
    slow = np.where(np.arange(HALF_H.size) == HALF_H.size - 1, 1e6, 1.0)
    assert falls(forecast(fading(), weights=slow), "drug", 1.0).first.value == pytest.approx(60.0, abs=1.0)


def test_in_the_fish_it_is_another_line():
    found = forecast(fading())
    assert row_now(found) == 0
    assert levels_of(found, "drug", "fish")[0, 0] == pytest.approx(0.4)
    with pytest.raises(BadInput, match="not followed in the fish"):
        levels_of(found, "other", "fish")
