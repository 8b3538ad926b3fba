"""A published course as a shape, so that it can be changed by hand."""

from __future__ import annotations

from datetime import datetime

from tankward.quantities.faults import BadInput
from tankward.room.acts import Change, Feed, Heat, Media, Siphon
from tankward.room.time import hours_between

from .records import Course, DosePlan
from .shape import Changed, Given, Shape, checked


def shape_from(course: Course, full: DosePlan | None) -> Shape | None:
    """Its doses, changes, siphoning and food by the hour.

    Parameters
    ----------
    course : Course
        In the tank's own water.
    full : DosePlan or None
        One whole dose, by which the others are measured; None where nothing is given into the water.

    Returns
    -------
    Shape or None
        None where a shape can't say it: carbon in between two doses, or more than a shape holds.
    """
    if course.place == "tub" or (course.doses and full is None) or _carbon_between(course):
        return None
    try:
        return checked(
            Shape(
                doses=tuple(Given(_h(course, d.at), _part(d, full)) for d in course.doses if full),
                changes=tuple(
                    Changed(_h(course, s.at), s.act.share) for s in course.steps if isinstance(s.act, Change)
                ),
                siphons=tuple(sorted({_h(course, s.at) for s in course.steps if isinstance(s.act, Siphon)})),
                feed=_feed(course),
                warm_c=_warm(course),
                end_h=max(_h(course, course.ends), 1.0),
            )
        )
    except BadInput:
        return None


def _h(course: Course, at: datetime) -> float:
    return round(hours_between(course.start, at), 4)


def _part(dose: DosePlan, full: DosePlan | None) -> float:
    """Of a whole dose, by the active of which it holds most."""
    assert full is not None and full.actives
    lead = max(full.actives, key=lambda a: a.amount)
    given = next((a.amount for a in dose.actives if a.substance == lead.substance), lead.amount)
    return round(given / lead.amount, 4)


def _carbon_between(course: Course) -> bool:
    """Whether carbon goes in before the last dose: each dose then stands alone."""
    last = max((d.at for d in course.doses), default=course.start)
    return any(isinstance(s.act, Media) and s.act.into and s.at < last for s in course.steps)


def _feed(course: Course) -> float:
    less = [s.act.usual for s in course.steps if isinstance(s.act, Feed) and s.kind == "feed-less"]
    return next(iter(less), 1.0)


def _warm(course: Course) -> float | None:
    if course.route == "heat":
        return None  # its warmth is the remedy itself
    warmed = [s.act.temp_c for s in course.steps if isinstance(s.act, Heat)]
    return max((c for c in warmed if c is not None), default=None)
