"""A course set by hand: what it would do, judged as a plan's own are, and what stands against it."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime

from msgspec.structs import replace

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.room.replay import Room
from tankward.treat.course.records import Course, DosePlan
from tankward.treat.course.request import request_from_room
from tankward.treat.course.shape import Given, Shape
from tankward.treat.planner.checked import broken, checked
from tankward.treat.planner.danger import warned
from tankward.treat.planner.plan import by_day
from tankward.treat.planner.records import Score, Wishes

from .courses import Wanted, propose

DRAWS = 256  # an answer within a second; a course that a plan found keeps the score it was found with
FULL = Shape(doses=(Given(0.0, 1.0),), end_h=24.0)  # one whole dose: the parts are measured by it
WATER = "water_long"


def by_hand(wanted: Wanted) -> bool:
    """Whether its hours and amounts are its own: then what it does is judged before it is begun."""
    return bool(wanted.shape)


def judged(room: Room, course: Course, now: datetime, facts: Facts) -> Score:
    """What it is worth, and which lines it would pass."""
    request = request_from_room(room, course.tank, facts, now, causes=course.causes)
    return checked(room, request, course, now, facts, draws=DRAWS)


def goal_day(room: Room, course: Course, now: datetime, facts: Facts) -> datetime:
    """The day by which its goal counts."""
    request = request_from_room(room, course.tank, facts, now, causes=course.causes)
    return max(by_day(request, course.causes, Wishes(), now, facts), course.ends)


def proposed(room: Room, tank: str, wanted: Wanted, now: datetime, zone: str, facts: Facts) -> Course:
    """As `courses.propose`; what stands against one that is set by hand is among its cautions.

    Raises
    ------
    BadInput
        For what can't be read or is missing.
    Refused
        With every reason and what would change it.
    """
    return with_score(room, tank, wanted, now, zone, facts)[0]


def with_score(
    room: Room, tank: str, wanted: Wanted, now: datetime, zone: str, facts: Facts
) -> tuple[Course, Score | None]:
    """The same with its score; None where it is given as it is published or as a label says."""
    course = propose(room, tank, wanted, now, zone, facts)
    if not by_hand(wanted):
        return course, None
    score = judged(room, course, now, facts)
    return warned(course, score, facts), score


def unsaid(score: Score, said: Collection[str]) -> tuple[str, ...]:
    """The dangers that were not ticked, by their keys."""
    return tuple(key for key in dangers_of(score) if key not in said)


def dangers_of(score: Score) -> tuple[str, ...]:
    """The keys of the lines that do not hold, the worst first: a tick is for one of them alone."""
    return tuple(f"{line.what}-{line.about}" for line in broken(score))


def refuse_unsaid(score: Score, said: Collection[str]) -> None:
    """Begun only where each danger was named.

    Raises
    ------
    Refused
        Naming those that were not.
    """
    left = unsaid(score, said)
    if left:
        raise Refused(
            *(
                Reason(
                    kind="danger-not-said",
                    because=f"This course was set by hand, and not every danger of it was taken: {key}.",
                    would_change=f"danger={key}, or another course",
                )
                for key in left
            )
        )


def full_dose(
    room: Room, tank: str, wanted: Wanted, now: datetime, zone: str, facts: Facts
) -> DosePlan | None:
    """One whole dose as it is measured; None where it is not given into the tank's water, or is refused."""
    if wanted.route != WATER or not wanted.substance:
        return None
    try:
        made = propose(room, tank, replace(wanted, shape=FULL.text, start=""), now, zone, facts)
    except (BadInput, Refused):
        return None
    return made.doses[0] if made.doses else None
