"""Days as people say them in a search; every expected day was read off a calendar of May 2026."""

from datetime import UTC, datetime

import pytest

from tankward.quantities.faults import BadInput
from tankward.room.spans import span_in

NOW = datetime(2026, 5, 14, 16, tzinfo=UTC)  # a Thursday
SAID = {
    "yesterday": ("13 May 2026", ""),
    "yesterday evening": ("13 May 2026", ""),
    "the day before yesterday": ("12 May 2026", ""),
    "T7 today": ("14 May 2026", "T7"),
    "12 May": ("12 May 2026", ""),
    "12th of May 2025": ("12 May 2025", ""),
    "May 12 copper": ("12 May 2026", "copper"),
    "2026-05-02": ("2 May 2026", ""),
    "20 December": ("20 December 2025", ""),
    "last week": ("4 May 2026 to 10 May 2026", ""),
    "this week": ("11 May 2026 to 17 May 2026", ""),
    "on Tuesday": ("12 May 2026", ""),
    "last Thursday": ("7 May 2026", ""),
    "last month": ("1 April 2026 to 30 April 2026", ""),
    "in March": ("1 March 2026 to 31 March 2026", ""),
    "August": ("1 August 2025 to 31 August 2025", ""),
    "February 2024": ("1 February 2024 to 29 February 2024", ""),
    "ammonia last 3 days": ("12 May 2026 to 14 May 2026", "ammonia"),
    "two weeks ago": ("27 April 2026 to 3 May 2026", ""),
    "3 days ago": ("11 May 2026", ""),
    "deaths since 1 May": ("1 May 2026 to 14 May 2026", "deaths"),
    "before 12 May": ("until 11 May 2026", ""),
    "from 1 May to 5 May in T2": ("1 May 2026 to 5 May 2026", "in T2"),
    "between Monday and Wednesday": ("11 May 2026 to 13 May 2026", ""),
}


@pytest.mark.parametrize("said", SAID)
def test_days_as_they_are_said(said):
    found, left = span_in(said, NOW, "Europe/Berlin")
    assert (found.says, left) == SAID[said]


@pytest.mark.parametrize("said", ["copper", "they may jump", "0.25 mg/L", "march of the shrimp", "24 h", ""])
def test_words_that_name_no_day_stay_words(said):
    assert span_in(said, NOW, "UTC") == (None, said)


def test_a_day_begins_at_the_keepers_midnight():
    found, _ = span_in("yesterday", NOW, "Europe/Berlin")
    assert found.start == datetime(2026, 5, 12, 22, tzinfo=UTC)
    assert found.holds(datetime(2026, 5, 13, 21, 59, tzinfo=UTC))
    assert not found.holds(found.end)


def test_the_night_when_the_clocks_go_back_has_25_hours():
    found, _ = span_in("2026-10-25", NOW, "Europe/Berlin")
    assert (found.end - found.start).total_seconds() == 25 * 3600


@pytest.mark.parametrize("said", ["31 February", "2026-13-01", "3/4/2026"])
def test_what_is_no_day_or_two_is_asked_for(said):
    with pytest.raises(BadInput) as fault:
        span_in(said, NOW, "UTC")
    assert fault.value.field == "when"
