"""How much water there is after a loss."""

from datetime import UTC, datetime

import pytest

from tankward.knowledge.loader import load
from tankward.room.holds import left_share
from tankward.treat.course.request import request_from_room
from tests.helpers.rooms import room_from
from tests.model.test_forecast import NURSERY

NOW = datetime(2026, 3, 7, 9, 0, tzinfo=UTC)
LOST = "3 March 2026 08:00  lost_water  Nursery  share=90%\n"


@pytest.mark.parametrize(
    ("then", "left"),
    [
        ("", 0.1),
        ("3 March 2026 09:00  top_up  Nursery  volume=27L\n", 0.6),
        ("3 March 2026 09:00  change  Nursery  share=10%\n", 1.0),
        ("3 March 2026 09:00  lost_water  Nursery  share=50%\n", 0.05),
        ("8 March 2026 09:00  change  Nursery  share=10%\n", 0.1),
    ],
)
def test_what_is_left(then, left):
    assert left_share(room_from(NURSERY + LOST + then), "nursery", 54.0, NOW) == pytest.approx(left)


def test_a_dose_goes_by_the_water_that_is_there():
    """5.4 L of 54: a tenth of the medicine."""
    full, slipped = (request_from_room(room_from(text), "nursery", load(), NOW) for text in
                     (NURSERY, NURSERY + LOST))  # fmt: skip
    assert slipped.volume_l.value == pytest.approx(full.volume_l.value / 10)
