"""How long a remedy takes, in words."""

import pytest

from tankward.show.words.remedies import days_words


@pytest.mark.parametrize(
    ("days", "says"),
    [
        ((7.0, 21.0), "7 to 21 days"),
        ((1.0, 1.0), "1 day"),
        ((11.0, 11.0), "11 days"),
        ((0.0, 0.5), "0 to 12 hours"),
    ],
)
def test_one_day_is_told_of_one_alone(days, says):
    assert days_words(days) == says


def test_what_takes_no_time_says_none():
    assert days_words(None) == days_words((0.0, 0.0)) == ""
