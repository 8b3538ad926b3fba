"""How a course ended, as the keeper saw it."""

from __future__ import annotations

from typing import TYPE_CHECKING
from typing import Annotated as A

from .base import Entry
from .base import Question as Ask

if TYPE_CHECKING:
    from tankward.room.replay import Room

# "cleared": as far as anybody can see. Nothing that is kept ever says that a disease is gone.
OUTCOMES = ("cleared", "better", "no_change", "worse", "not_known")


class CourseClosed(Entry, frozen=True, tag="course_closed"):
    """A course closed, with how it ended."""

    course: A[str, Ask("Which course?", "entry", hidden=True)] = ""
    outcome: A[str, Ask("How did it end?", choices=OUTCOMES, needed=True)] = "not_known"
    seen: A[tuple[str, ...], Ask("Which signs are still seen?", "signs")] = ()
    cause: A[str, Ask("What do you believe it was?", "cause")] = ""

    def effect(self, room: Room) -> Room:
        running = room.courses.get(self.tank)
        if running is None or self.course not in ("", running.id):
            return room
        return room.without_course(self.tank)
