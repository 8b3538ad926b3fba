"""One medicine after another: what follows a course where several causes are to be met. Safety rule 13."""

from __future__ import annotations

from datetime import datetime, timedelta

from msgspec.structs import replace

from tankward.model.suspect import of_causes
from tankward.quantities.faults import BadInput, Refused
from tankward.room.replay import Room
from tankward.treat.course.acts import planned_acts
from tankward.treat.course.records import Course
from tankward.treat.remedies.records import Option, Options, Turn

from .clock import Clock
from .judging import Judging
from .records import Planned, Score
from .score import days_from, minutes_of_course, tops_of_option
from .ways import Setting, way_of

# After a medicine in the tank's water two half changes and a day of carbon, after any other a day (rule 13).
CHANGED_OUT, COURSE_OVER = timedelta(days=2), timedelta(days=1)
IN_THE_TANK = "water_long"
LATER = timedelta(days=7)  # a turn for which nobody is there by then is left out
AFTER_D, MOST_D = 14.0, 60.0  # so long after its end it counts; no forecast goes further
DRAWS = 256


def of_first_turn(options: Options) -> tuple[tuple[str, ...], tuple[Option, ...]]:
    """The causes that are met first, and the remedies for them; all where one remedy meets them all."""
    if len(options.turns) < 2:
        return options.causes, options.open
    first = options.turns[0].causes
    return first, tuple(o for o in options.open if {o.cause, *o.also_for} & set(first))


def followed(planned: Planned, options: Options, here: Setting, room: Room) -> Planned:
    """The same with what comes after it, as it is published, at the keeper's own hours.

    A turn that nothing open meets, or that can't be made here, is left out: the options name it.
    """
    after: list[Planned] = []
    for turn in options.turns[1:]:
        before = [planned.course, *(p.course for p in after)]
        option = next((o for o in options.open if o.id == turn.option), None)
        found = None if option is None else _next(option, turn, before, here, room)
        after += [found] if found is not None else []
    return replace(planned, then=tuple(after)) if after else planned


def _next(option: Option, turn: Turn, before: list[Course], here: Setting, room: Room) -> Planned | None:
    last = before[-1]
    in_water = last.substance and last.route == IN_THE_TANK and last.place == "tank"
    begin = _at_home(last.ends + (CHANGED_OUT if in_water else COURSE_OVER), here)
    if begin is None:
        return None
    request = replace(here.request, causes=turn.causes, still_in={})
    try:
        way = way_of(option, here._replace(request=request, clocks=(begin,)))
        course = None if way is None else way.course(way.published)
    except (Refused, BadInput):
        return None
    if way is None or course is None:
        return None
    score = _score(option, course, before, turn.causes, here, room, way.cost(way.published))
    return Planned(best=(), option=option, course=course, score=score, **way.link(way.published))  # type: ignore[arg-type]


def _at_home(at: datetime, here: Setting) -> Clock | None:
    """The first hour from then on at which somebody is there."""
    clock = here.clocks[0]
    wanted = (at - clock.start) / timedelta(hours=1)
    for day in range(LATER.days):
        hour = clock.fit(wanted + 24.0 * day)
        if hour is not None and hour >= wanted:
            return Clock(clock.start + timedelta(hours=hour), clock.hours, clock.zone)
    return None


def _score(
    option: Option,
    course: Course,
    before: list[Course],
    causes: tuple[str, ...],
    here: Setting,
    room: Room,
    cost: float | None,
) -> Score:
    """Of its own causes, in water that has seen what came before."""
    by = min(course.ends + timedelta(days=AFTER_D), here.now + timedelta(days=MOST_D - 0.5))
    suspects = of_causes([(cause, None) for cause in causes], here.facts)[:1]
    judging = Judging(room, here.request, suspects, here.now, by, here.facts, here.wishes)
    acts = [act for one in (*before, course) for act in planned_acts(one)]
    return judging.scored(
        [(at, act) for at, act in acts if at <= by],
        tops_of_option(option, here.facts),
        DRAWS,
        days=days_from(here.now, course.ends),
        minutes=minutes_of_course(course, here.facts),
        cost=cost,
    )
