"""Any course, set by hand or found, judged as the plan's own are; and what it lets happen, as reasons."""

from __future__ import annotations

from datetime import datetime

from tankward.knowledge.known import Facts
from tankward.model.suspect import of_causes
from tankward.quantities.faults import Reason
from tankward.room.replay import Room
from tankward.treat.course.records import Course
from tankward.treat.course.request import CourseRequest

from .judging import Judging
from .packet import units_of
from .plan import GERMS, by_day
from .records import Line, Score, Wishes
from .score import cost_of, tops_of

DRAWS = 256
DANGER = "danger"  # the kind of a reason that stands on every sheet of the course


def checked(
    room: Room,
    request: CourseRequest,
    course: Course,
    now: datetime,
    facts: Facts,
    *,
    by: datetime | None = None,
    draws: int = DRAWS,
) -> Score:
    """What a course is worth, by its own acts in the tank as it stands.

    `by`: the day by which its goal counts; None: a cycle after a usual course.
    """
    suspects = of_causes([(cause, None) for cause in course.causes], facts)[:GERMS]
    until = max(by or by_day(request, course.causes, Wishes(), now, facts), course.ends)
    judging = Judging(room, request, suspects, now, until, facts, Wishes())
    supply = next((s for s in request.shelf if s.id == course.supply), None)
    tops = tops_of(course.limits, course.substance, facts)
    return judging.scored_course(course, tops, draws, cost_of(units_of(course), supply))


def broken(score: Score) -> tuple[Line, ...]:
    """The lines that do not hold, the worst first."""
    return tuple(sorted((x for x in score.lines if not x.holds), key=lambda x: x.most - x.chance))


def dangers(score: Score, says: dict[str, str]) -> tuple[Reason, ...]:
    """The same as reasons that stay with the course; `says`: by what a line is about, its words."""
    return tuple(
        Reason(kind=DANGER, because=says[line.about], source=line.source, who=(line.who,) if line.who else ())
        for line in broken(score)
    )
