"""What to do with the dose of a running course that is late: as a slip is answered."""

from __future__ import annotations

from datetime import datetime

from tankward.judge.waterstate import WaterState
from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.treat.mend.inside import in_it
from tankward.treat.mend.late import Late, is_dose, late_doses
from tankward.treat.mend.steps import hardest

from .examine import told_of
from .running import Running


def late_dose(room: Room, run: Running, water: WaterState, now: datetime, facts: Facts) -> Late | None:
    """By the active that holds it back most; None where no dose is late, or the litres are not known."""
    tank, steps = run.course.tank, tuple(s.step for s in run.open)
    if not any(s.state == "late" and is_dose(s.step, facts) for s in run.open):
        return None
    inside = in_it(room, tank, now, facts, told_of(room, tank, water, now))
    found = late_doses(room, tank, now, facts, steps, inside)
    return hardest(found) if found else None
