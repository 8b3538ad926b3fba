"""When: words into instants, and days that are not 24 hours long."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankward.quantities.faults import BadInput
from tankward.room.time import add_days, add_hours, day_of, hours_between, local, moment, not_future, when
from tests.helpers.logbooks import times

NOW = datetime(2026, 5, 14, 16, 0, tzinfo=UTC)  # a Thursday, 18:00 in Berlin


def berlin(month, day, hour, minute=0, year=2026):
    """Summer time: two hours ahead."""
    return datetime(year, month, day, hour, minute, tzinfo=UTC) - timedelta(hours=2)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", NOW),
        ("now", NOW),
        ("today 17:30", berlin(5, 14, 17, 30)),
        ("17:30", berlin(5, 14, 17, 30)),
        ("yesterday evening", berlin(5, 13, 19)),
        ("this morning", berlin(5, 14, 8)),
        ("last night", berlin(5, 13, 22)),
        ("yesterday at 6pm", berlin(5, 13, 18)),
        ("the day before yesterday", berlin(5, 12, 12)),
        ("2 days ago", berlin(5, 12, 18)),
        ("a week ago", berlin(5, 7, 18)),
        ("3 hours ago", NOW - timedelta(hours=3)),
        ("half an hour ago", NOW - timedelta(minutes=30)),
        ("about 20 minutes ago", NOW - timedelta(minutes=20)),
        ("monday evening", berlin(5, 11, 19)),
        ("thursday 9:15", berlin(5, 14, 9, 15)),
        ("last thursday 7 pm", berlin(5, 7, 19)),
        ("14 May 12:00 am", berlin(5, 14, 0)),
        ("May 3 2026 7:30 pm", berlin(5, 3, 19, 30)),
        ("1 June 08:00", berlin(6, 1, 8, year=2025)),
        ("2026-05-13", berlin(5, 13, 12)),
        ("2026-05-14 09:00", berlin(5, 14, 9)),
        ("2026-05-14T09:00", berlin(5, 14, 9)),
        ("2026-05-14T09:00Z", datetime(2026, 5, 14, 9, tzinfo=UTC)),
        ("2026-05-14 09:00+05:00", datetime(2026, 5, 14, 4, tzinfo=UTC)),
        ("tomorrow 8:00", berlin(5, 15, 8)),
        ("in 2 hours", NOW + timedelta(hours=2)),
    ],
)
def test_words_become_instants(text, expected):
    assert when(text, NOW, "Europe/Berlin") == expected


@pytest.mark.parametrize(
    "text",
    [
        "3/4",
        "3.4. 18:00",
        "25:99",
        "someday",
        "2026-02-30",
        "7",
        "99999999 days ago",
        "0000-00-00",
        "2026-13-01T08:00",
    ],
)
def test_what_could_mean_two_things_or_nothing_is_refused(text):
    with pytest.raises(BadInput) as told:
        when(text, NOW, "Europe/Berlin")
    assert told.value.given == text


def test_what_was_taken_is_told():
    found = moment("yesterday evening", NOW, "Europe/Berlin")
    assert found.rough
    assert found.says == "yesterday evening is taken as 13 May 19:00"
    assert not moment("today 17:30", NOW, "Europe/Berlin").rough


def test_an_hour_that_the_clocks_left_out_is_refused():
    """29 March 2026: 02:00 becomes 03:00."""
    with pytest.raises(BadInput, match=r"left out .* Write 03:30"):
        when("2026-03-29 02:30", NOW, "Europe/Berlin")


def test_an_hour_that_came_twice_is_the_first_and_says_so():
    found = moment("2026-10-25 02:30", NOW, "Europe/Berlin")
    assert found.at == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    assert "came twice" in found.says


def test_every_evening_keeps_the_wall_clock_when_clocks_change():
    evening = datetime(2026, 10, 24, 17, tzinfo=UTC)  # 19:00 in Berlin
    next_evening = add_days(evening, 1, "Europe/Berlin")
    assert local(next_evening, "Europe/Berlin").hour == 19
    assert hours_between(evening, next_evening) == 25
    assert add_hours(evening, 24) == evening + timedelta(hours=24)
    spring = datetime(2026, 3, 28, 18, tzinfo=UTC)
    assert hours_between(spring, add_days(spring, 1, "Europe/Berlin")) == 23


def test_the_keepers_day_is_not_the_day_in_utc():
    late = datetime(2026, 5, 14, 22, 30, tzinfo=UTC)
    assert day_of(late, "Europe/Berlin").day == 15
    assert day_of(late, "America/New_York").day == 14


@given(times, st.integers(-400, 400))
def test_days_forth_and_back_lead_home_but_for_the_hour_that_moved(at, days):
    there = add_days(add_days(at, days, "Europe/Berlin"), -days, "Europe/Berlin")
    assert abs(hours_between(at, there)) in (0, 1)


def test_the_future_is_not_logged_but_two_clocks_may_differ():
    assert not_future(NOW + timedelta(minutes=5), NOW, "x")
    with pytest.raises(BadInput, match="lies in the future"):
        not_future(NOW + timedelta(minutes=15), NOW, "x")


def test_an_unknown_zone_is_refused():
    with pytest.raises(BadInput, match="is not a time zone"):
        when("today 8:00", NOW, "Mars/Olympus")
