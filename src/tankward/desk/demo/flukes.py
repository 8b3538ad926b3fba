"""T2's course in the demo: praziquantel against gill flukes, its second dose two hours ago."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

import msgspec

from tankward.room.acts import AnyAct, Change, Dose, LookAgain, Media
from tankward.room.entries.acts import CourseBegun, Done, Step
from tankward.room.entries.base import Entry

from .ids import Ids

TANK, SUPPLY, DOSE_MG = "T2", "fluke powder", 60.0
MEASURED = "60 mL of 100 mg in 100 mL"


class Planned(msgspec.Struct, frozen=True):
    """A step of the course, hours from now; those before it were done."""

    id: str
    hours: float
    act: AnyAct
    says: str
    why: str
    how: str = ""


_DOSE = Dose(actives={"praziquantel": DOSE_MG}, supply=SUPPLY, units=DOSE_MG / 1000, measured=MEASURED)
_HALF = Change(share=0.5, temp_c=27.0, dechlorinated=True)
_NEW_WATER = "New water dechlorinated, and within 2 °C of the tank. Heater off meanwhile."
_GIVE = f"Give {MEASURED}."
STEPS = (
    Planned("carbon-out", -122.5, Media(into=False), "Take the carbon out.", "It takes the medicine out."),
    Planned("dose-1", -122.0, _DOSE, _GIVE, "About 2 mg/L in T2."),
    Planned(
        "change-0",
        -2.3,
        _HALF,
        "Change half of the water.",
        "What the first dose left is thinned.",
        _NEW_WATER,
    ),
    Planned("dose-2", -2.0, _DOSE, _GIVE, "The eggs outlived the first dose and have hatched."),
    Planned(
        "look-1", 0.6, LookAgain(what="breathing"), "Look at how they breathe.", "Warm water, just dosed."
    ),
    Planned("change-1", 46.0, _HALF, "Change half of the water.", "What is left is thinned.", _NEW_WATER),
    Planned("look-2", 47.0, LookAgain(what="gills"), "Count those that breathe fast.", "The day to decide."),
)


def fluke_course(now: datetime, zone: str, ids: Ids) -> Iterator[Entry]:
    """The course as it was begun, and its steps as they were ticked."""
    steps = [
        Step(id=s.id, at=now + timedelta(hours=s.hours), act=s.act, says=s.says, how=s.how, why=s.why)
        for s in STEPS
    ]
    begun = now + timedelta(hours=STEPS[0].hours - 0.5)
    yield CourseBegun(
        id=ids.at(begun), at=begun, zone=zone, tank=TANK, name="Praziquantel against gill flukes",
        substance="praziquantel", route="water_long", cause="gill_flukes", supply=SUPPLY, steps=tuple(steps),
    )  # fmt: skip
    for step in steps:
        if step.at < now:
            yield Done(id=ids.at(step.at), at=step.at, zone=zone, tank=TANK, act=step.act, step=step.id)
