"""Today's jobs: healthy tanks first, the sick last, acts of running courses by their hour."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Literal

import msgspec

from tankward.room.entries.acts import Done, Step, StepSkipped
from tankward.room.replay import Room
from tankward.room.time import day_of

from .states import state_of

Kind = Literal["step", "look"]
LOOK_EVERY = timedelta(hours=20)  # a look a day; 20 h so that a morning round counts for the next morning
# Healthy first: nets and hands carry it on. Tanks in which signs were seen come last.
ROUND: dict[str, int] = {"well": 0, "unknown": 1, "watch": 2, "sick": 3, "empty": 4}


class Job(msgspec.Struct, frozen=True, kw_only=True):
    """One thing to do today."""

    kind: Kind
    tank: str
    at: datetime
    state: str
    step: Step | None = None
    late_h: float = 0.0


def finished(room: Room, tank: str) -> set[str]:
    """Steps that were ticked off or skipped."""
    entries = room.of_tank(tank)
    ticked = {e.step for e in entries if isinstance(e, Done) and e.step}
    return ticked | {e.step for e in entries if isinstance(e, StepSkipped)}


def steps_due(room: Room, tank: str, now: datetime, zone: str) -> list[Step]:
    """Steps of the running course that are due today or were due before, oldest first."""
    course = room.courses.get(tank)
    if course is None:
        return []
    done, today = finished(room, tank), day_of(now, zone)
    return [s for s in course.steps if s.id not in done and day_of(s.at, zone) <= today]


def jobs(room: Room, now: datetime, zone: str) -> list[Job]:
    """Everything for today, in the order of the round; steps of one tank by their hour."""
    found = [job for tank in room.tanks for job in _of_tank(room, tank, now, zone)]
    place = {t.id: (t.place, t.name) for t in room.tanks.values()}
    return sorted(found, key=lambda j: (ROUND[j.state], place[j.tank], j.at))


def _of_tank(room: Room, tank: str, now: datetime, zone: str) -> list[Job]:
    state = state_of(room, tank, now).state
    steps = [
        Job(
            kind="step",
            tank=tank,
            at=s.at,
            state=state,
            step=s,
            late_h=max((now - s.at) / timedelta(hours=1), 0.0),
        )
        for s in steps_due(room, tank, now, zone)
    ]
    looks = room.looks(tank)
    due = state != "empty" and (not looks or now - looks[-1].at > LOOK_EVERY)
    return ([Job(kind="look", tank=tank, at=now, state=state)] if due else []) + steps


def looked_at_today(room: Room, now: datetime) -> int:
    """Tanks with animals that were looked at since yesterday's round."""
    return sum(
        1 for t in room.tanks if room.stock_of(t) and (k := room.looks(t)) and now - k[-1].at <= LOOK_EVERY
    )
