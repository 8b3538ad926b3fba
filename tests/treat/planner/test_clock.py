"""Steps moved to when the keeper is there."""

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from tankward.room.hours import hours_of
from tankward.treat.planner.clock import MOVED_H, Clock, starts, waking

THURSDAY = datetime(2026, 5, 14, 18, 0, tzinfo=UTC)
EVENINGS = hours_of("Mon-Fri 18:00-22:00; Sat, Sun 8:00-22:00")
AWAY = hours_of("18:00-22:00; away Sat, Sun")


@given(st.integers(0, 21 * 24))
def test_a_step_comes_when_somebody_is_there_or_not_at_all(hour):
    clock = Clock(THURSDAY, EVENINGS, "UTC")
    found = clock.fit(float(hour))
    assert found is not None
    assert EVENINGS.holds(THURSDAY + timedelta(hours=found), "UTC")
    assert abs(found - hour) <= MOVED_H


def test_a_day_away_has_no_step():
    clock = Clock(THURSDAY, AWAY, "UTC")
    assert clock.fit(0.0) == 0.0
    assert clock.fit(48.0) is None  # Saturday
    assert clock.fit(96.0) == 96.0  # Monday


def test_where_no_hours_were_said_nobody_gets_up_at_night():
    clock = Clock(THURSDAY, waking(None), "UTC")
    assert clock.fit(9.0) in (5.0, 13.0)  # 3 in the morning becomes 23:00 or 7:00


def test_a_course_begins_on_one_of_the_next_days_at_home():
    found = starts(AWAY, THURSDAY, "UTC", days=5)
    assert found == tuple(THURSDAY + timedelta(days=n) for n in (0, 1, 4))
