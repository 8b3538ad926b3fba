"""Fish out of the tank: as often and as long as helps, and only when somebody is up."""

from functools import cache

import pytest

from scripts.planning.problems import Problem, Ready
from scripts.planning.rooms import AWAY, EVENINGS, NOW, T8
from tankward.desk.plans import PlanWish, course_link
from tankward.model.run import warm
from tankward.room.hours import hours_of
from tankward.treat.course.fish_out import FISH_OUT
from tankward.treat.course.within_hours import ANY_HOUR
from tankward.treat.course.without import without_course
from tankward.treat.planner.clock import waking
from tankward.treat.planner.plan import SCREEN
from tankward.treat.planner.search import passing, spread
from tests.treat.tanks import FACTS

ALONG = (0.0, 8.0, 12.0, 24.0)


@cache
def fish_out(hours=""):
    warm(wait=True)
    one = Ready(Problem("white_spot", T8, ("white_spot",), hours=hours), FACTS)
    way = next(w for w in one.ways if w.option.id == FISH_OUT)
    return one, way, list(passing(way, spread(way, 1000), one.weights, one.by, one.wishes))


def laid(way, point):
    return way.course(point).without


@pytest.mark.parametrize("hours", ["", EVENINGS, AWAY])
def test_nothing_is_done_while_the_keeper_sleeps_or_is_away(hours):
    one, way, points = fish_out(hours)
    there = waking(hours_of(hours, NOW) if hours else None)
    assert points or hours == AWAY  # fed each day: nobody can, on the day away
    for point in points[::7]:
        for step in way.course(point).steps:
            assert step.kind in ANY_HOUR or there.holds(step.at, one.request.zone), (step.kind, step.at)


def test_where_somebody_is_up_at_all_hours_needed_they_are_moved_more_often_and_for_longer():
    _, way, points = fish_out()
    found = {(laid(way, p).every_h, laid(way, p).move_days) for p in points}
    assert {every for every, _ in found} == set(ALONG)
    assert {days for every, days in found if every} == {8.0, 14.0}


def test_who_is_up_in_the_evening_alone_is_not_asked_to_move_them_at_night():
    _, way, points = fish_out(EVENINGS)
    assert {laid(way, p).every_h for p in points} <= {0.0, 24.0}


@pytest.mark.slow
def test_the_surest_way_clears_it_far_more_likely_than_the_usual_one():
    """12 h for 8 d, as the facts have it, against 8 h for 14 d."""
    one, way, points = fish_out()
    worth = {}
    for point in points:
        key = laid(way, point).every_h, laid(way, point).move_days
        if key not in worth:
            worth[key] = one.planner.draft_score(way, point, SCREEN).clear.value
    assert worth[8.0, 14.0] > 0.95 > 0.6 > worth[12.0, 8.0]


def test_what_makes_it_again_names_how_long_they_are_moved():
    one, way, points = fish_out()
    point = next(p for p in points if (laid(way, p).every_h, laid(way, p).move_days) == (8.0, 14.0))
    planned = one.planner.refine(one.ways.index(way), point, SCREEN)
    link = course_link(planned, PlanWish(cause="white_spot"))
    assert (link["every"], link["moved"]) == ("8 h", "14 days")
    again = without_course(
        one.request, FISH_OUT, FACTS, planned.course.start, NOW, days=planned.days, every_h=8.0,
        move_days=14.0,
    )  # fmt: skip
    assert [(s.at, s.kind) for s in again.steps] == [(s.at, s.kind) for s in planned.course.steps]
