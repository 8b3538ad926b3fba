"""Whole plans of small tanks: what is shown, what the wishes do, and what is said where nothing holds."""

from datetime import timedelta

import pytest

from tankward.model import run
from tankward.quantities.faults import Refused
from tankward.room.hours import hours_of
from tankward.treat.course.make import make_course
from tankward.treat.course.shape import shape_of
from tankward.treat.planner.checked import broken, checked
from tankward.treat.planner.plan import make_plan
from tankward.treat.planner.records import MOST, Wishes
from tankward.treat.planner.search import Budget
from tankward.treat.remedies.options import options
from tests.helpers.rooms import room_from
from tests.treat.test_course_rooms import FACTS, NOW, T7, T8, request

SMALL = Budget(300, 12, 4)
pytestmark = pytest.mark.slow


@pytest.fixture(scope="module", autouse=True)
def compiled():
    """Judged by the compiled form where it can be made: whole plans are many runs."""
    run.warm(wait=True)


def plan(log, tank, *causes, budget=SMALL, **wishes):
    asked = request(log, tank, *causes)
    found = options(
        causes, asked.stock, FACTS, volume_l=asked.volume_l, water=asked.water, region="UK",
        shelf=asked.shelf,
        findings=asked.findings, not_there=("fry", "egg"),
    )  # fmt: skip
    return make_plan(room_from(log), asked, found, Wishes(**wishes), NOW, FACTS, budget=budget)


@pytest.fixture(scope="module")
def white_spot():
    return plan(T8, "t8", "white_spot")


def test_every_course_that_is_shown_holds_every_line(white_spot):
    assert white_spot.courses
    for planned in white_spot.courses:
        assert planned.best
        for line in planned.score.lines:
            assert line.chance <= line.most
            assert line.most == MOST or line.alone > MOST


def test_the_surest_clears_it_more_likely_than_leaving_it_alone(white_spot):
    surest = next(p for p in white_spot.courses if "surest" in p.best)
    assert surest.score.clear.value > white_spot.left_alone.clear.value


def test_one_without_medicine_is_there_beside_the_medicines(white_spot):
    bare = [p for p in white_spot.courses if "no-medicine" in p.best]
    assert len(bare) == 1
    assert bare[0].option.remedy or bare[0].option.substance == "heat"


def test_a_course_of_the_plan_can_be_made_again_from_what_it_says(white_spot):
    shaped = next(p for p in white_spot.courses if p.shape and p.option.route == "water_long")
    again = make_course(
        request(T8, "t8", "white_spot"), shaped.course.substance, "water_long", facts=FACTS,
        start=shaped.course.start, now=NOW, regimen_id=shaped.course.regimen.id, level=shaped.level,
        units=shaped.units, shape=shape_of(shaped.shape),
    )  # fmt: skip
    assert [(s.at, s.act) for s in again.steps] == [(s.at, s.act) for s in shaped.course.steps]


def test_nothing_is_done_while_the_keeper_is_away():
    hours = hours_of("18:00-22:00; away 15-20 May", NOW, "UTC")
    found = plan(T8, "t8", "white_spot", hours=hours)
    for planned in found.courses:
        done = [s.at for s in planned.course.steps if s.kind in ("dose", "put-back", "change", "siphon")]
        assert all(hours.holds(at, "UTC") for at in done)


def test_without_medicine_none_is_shown():
    found = plan(T8, "t8", "white_spot", medicine=False)
    assert found.courses
    assert {p.option.substance for p in found.courses} <= {"", "heat"}


def test_with_what_is_on_the_shelf_no_packet_has_to_be_bought():
    """Nothing is on the shelf of T8."""
    found = plan(T8, "t8", "white_spot", on_shelf=True)
    assert {p.option.substance for p in found.courses} <= {"", "heat"}


def test_where_a_wish_stands_in_the_way_it_is_named():
    """Nobody is there for five weeks: with other hours there would be a course."""
    found = plan(T8, "t8", "white_spot", hours=hours_of("18:00-22:00; away 14 May-20 June", NOW, "UTC"))
    assert not found.courses
    assert found.nothing[0].kind == "wish-hours"
    assert all(r.because and r.would_change for r in found.nothing[:2])


def test_more_chance_of_harm_than_is_safe_is_refused():
    with pytest.raises(Refused, match="more than a plan may risk"):
        plan(T8, "t8", "white_spot", most={"nh3": 0.2})


def test_less_chance_of_harm_than_the_usual_is_kept():
    found = plan(T8, "t8", "white_spot", most={"over-limit": 0.0, "nh3": 0.01})
    for planned in found.courses:
        assert all(x.chance <= 0.0 for x in planned.score.lines if x.what == "over-limit")
        assert all(x.chance <= 0.01 for x in planned.score.lines if x.what == "nh3")


def test_the_same_question_has_the_same_answer(white_spot):
    again = plan(T8, "t8", "white_spot")
    assert [(p.shape, p.score) for p in again.courses] == [(p.shape, p.score) for p in white_spot.courses]


def test_two_causes_are_met_one_after_the_other_with_the_water_changed_between():
    """Safety rule 13: what kills first comes first, two half changes and a day of carbon between."""
    found = plan(T8, "t8", "white_spot", "skin_flukes", budget=Budget(120, 6, 2))
    told = [p for p in found.courses if p.then]
    assert told
    for planned in told:
        (after, *_) = planned.then
        assert "skin_flukes" in after.course.causes
        assert after.course.start - planned.course.ends >= timedelta(days=1)


def test_food_comes_before_the_bath_against_gut_flagellates():
    """The published bath of 5 mg/L left fish infected (expert case 1): the surest is in the food."""
    found = plan(T7, "t7", "hexamita")
    surest = next(p for p in found.courses if "surest" in p.best)
    assert surest.option.route == "feed"
    assert surest.score.goal == "brought-low"


def test_a_course_set_by_hand_is_judged_as_the_plans_own_are():
    asked, room = request(T8, "t8", "white_spot"), room_from(T8)
    made = make_course(
        asked, "malachite_green", "water_long", facts=FACTS, start=NOW, now=NOW, regimen_id="long",
        shape=shape_of("dose 0h 1, 72h 1, 144h 1; change 0h 50%, 216h 50%; end 216h"),
    )  # fmt: skip
    score = checked(room, asked, made, NOW, FACTS, draws=64)
    assert {x.what for x in score.lines} >= {"over-limit", "nh3", "nitrite", "oxygen"}
    assert [x.what for x in broken(score)] == [x.what for x in score.lines if x.chance > x.most]
