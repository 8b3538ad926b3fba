"""T3's course in the demo: salt and warmth against white spots, four months ago; begun, closed, so kept."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

import numpy as np

from tankward.room.acts import Change, Dose, Heat, LookAgain, Siphon
from tankward.room.entries.acts import CourseBegun, Step
from tankward.room.entries.base import Entry
from tankward.room.entries.ends import CourseClosed

from .ids import Ids
from .told import back

TANK, SUPPLY = "T3", "cooking salt, no iodine"
BEGUN_D, CLOSED_D = 126, 105  # days ago; what was done stands in half_year.txt, ticked by its steps
SEED = 3  # of its ids alone: nothing else in the room hangs on them
STEPS = (
    ("spots-heat-1", 126, 19, 30, Heat(temp_c=28.0), "Heater to 28 °C, a degree every twelve hours."),
    ("spots-dose-1", 126, 20, 10, Dose(actives={"sodium_chloride": 36_000.0}, supply=SUPPLY, units=36.0),
     "Give 36 g of cooking salt."),
    ("spots-siphon-1", 125, 18, 30, Siphon(floor_share=1.0), "Siphon the whole floor."),
    ("spots-siphon-2", 124, 19, 0, Siphon(floor_share=1.0), "Siphon the whole floor."),
    ("spots-siphon-3", 120, 18, 30, Siphon(floor_share=1.0), "Siphon the whole floor."),
    ("spots-decide-1", 115, 18, 30, LookAgain(what="is it helping"), "Count those that show spots."),
    ("spots-change-1", 107, 19, 0, Change(share=0.5, temp_c=27.0, dechlorinated=True), "Change half."),
    ("spots-change-2", 106, 18, 40, Change(share=0.5, temp_c=26.0, dechlorinated=True), "Change half."),
    ("spots-heat-2", 106, 19, 10, Heat(temp_c=25.0), "Heater back to 25 °C."),
)  # fmt: skip


def spots_course(now: datetime, zone: str) -> Iterator[Entry]:
    """The course as it was begun, and how it ended."""
    ids = Ids(np.random.default_rng(SEED))
    steps = tuple(
        Step(id=name, at=back(now, zone, ago, hour, minute), act=act, says=says)
        for name, ago, hour, minute, act, says in STEPS
    )
    begun = steps[0].at - timedelta(minutes=10)
    course = CourseBegun(
        id=ids.at(begun), at=begun, zone=zone, tank=TANK, name="Salt and warmth against white spots",
        substance="sodium_chloride", route="water_long", cause="white_spot", supply=SUPPLY, steps=steps,
    )  # fmt: skip
    yield course
    end = back(now, zone, CLOSED_D, 20, 10)
    yield CourseClosed(
        id=ids.at(end), at=end, zone=zone, tank=TANK, course=course.id, outcome="cleared", cause="white_spot",
        note="Healed, one lost. Next time six weeks apart, not four.",
    )  # fmt: skip
