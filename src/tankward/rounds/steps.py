"""Steps of running courses that are due today or were due before, in the order of their hours."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Literal

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.entries.acts import Done, Step, StepSkipped
from tankward.room.replay import Room
from tankward.room.time import day_of
from tankward.treat.mend.shifted import shifted

GRACE = timedelta(minutes=30)  # a step is late after that [our own choice]
HOUR = timedelta(hours=1)


class StepDue(msgspec.Struct, frozen=True, kw_only=True):
    """A step to do today, or one that was done or left out today."""

    tank: str
    step: Step
    state: Literal["late", "due", "done", "skipped"]
    late_h: float = 0.0
    gap_h: float | None = None  # to the next step of the same kind of act
    entry: str = ""  # what ticked it off or left it out
    at: datetime | None = None  # when that was


def steps_today(room: Room, now: datetime, zone: str, facts: Facts) -> list[StepDue]:
    """Of every tank: what is open up to the end of today, and what was done or left out today."""
    tanks = [tank for tank in room.courses if tank in room.tanks]
    found = [step for tank in tanks for step in _of_tank(room, tank, now, zone, facts)]
    return sorted(found, key=lambda s: (s.step.at, s.tank))  # of one hour in the order of its course


def _of_tank(room: Room, tank: str, now: datetime, zone: str, facts: Facts) -> list[StepDue]:
    """As what was given late needs: a dose that must wait till tomorrow is none of today."""
    steps = list(shifted(room, tank, facts).steps)
    told = {e.step: e for e in room.of_tank(tank) if isinstance(e, Done | StepSkipped) and e.step}
    today = day_of(now, zone)
    rows = [_step(tank, s, steps, told.get(s.id), now) for s in steps]
    return [row for row in rows if _is_of(row, today, zone)]


def _is_of(row: StepDue, today: date, zone: str) -> bool:
    """What was told counts for the day on which it was told; what is open stays until it is."""
    return day_of(row.at, zone) == today if row.at else day_of(row.step.at, zone) <= today


def _step(
    tank: str, step: Step, steps: list[Step], entry: Done | StepSkipped | None, now: datetime
) -> StepDue:
    later = [s.at for s in steps if s.at > step.at and type(s.act) is type(step.act)]
    gap = (later[0] - step.at) / HOUR if later else None
    if entry is not None:
        state: Literal["done", "skipped"] = "done" if isinstance(entry, Done) else "skipped"
        return StepDue(tank=tank, step=step, state=state, gap_h=gap, entry=entry.id, at=entry.at)
    late = now > step.at + GRACE
    return StepDue(
        tank=tank,
        step=step,
        state="late" if late else "due",
        late_h=max((now - step.at) / HOUR, 0.0),
        gap_h=gap,
    )
