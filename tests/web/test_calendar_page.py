"""The calendar of a tank, of a course before it is begun, of the room; and the file of each."""

import icalendar
import pytest

from tankward.knowledge.loader import load
from tankward.room.hours import hours_of
from tankward.rounds.calendar import calendar_of

from .visitor import NOW

COURSE = {"substance": "praziquantel", "route": "water_long", "cause": "skin_flukes"}
HOURS = "18:00-23:00; away 14-24 May"


@pytest.fixture
def runs(keeper):
    """A course that runs in T7, and hours that it does not all fall into."""
    page = keeper.get("/kit/hours", hours=HOURS)
    keeper.post("/kit/hours", page, hours=HOURS)
    keeper.post("/tanks/T7/course", keeper.get("/tanks/new"), **COURSE)
    assert "t7" in keeper.desk.room().courses
    return keeper


def events(keeper, url, **query):
    answer = keeper.client.get(url, params=query)
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "text/calendar; charset=utf-8"
    return answer, icalendar.Calendar.from_ical(answer.content).walk("VEVENT")


def test_nothing_planned_is_said(keeper):
    assert keeper.get("/tanks/T7/calendar").heading() == "Nothing is planned in T7."
    assert keeper.get("/calendar").heading() == "Nothing is planned."
    assert events(keeper, "/calendar.ics")[1] == []


def test_more_print_and_the_course_lead_to_it(runs):
    assert "/calendar" in runs.get("/more").links
    assert "/calendar" in runs.get("/print").links
    assert "/tanks/t7/calendar" in runs.get("/tanks/T7").links
    (link,) = [url for url in runs.get("/tanks/T7/course", **COURSE).links if "/calendar?" in url]
    assert "Not begun yet." in runs.get(link).words


def test_the_steps_stand_on_their_days_with_what_is_done(runs):
    page = runs.get("/tanks/T7/calendar")
    course = runs.desk.room().courses["t7"]
    moments = {s.at for s in course.steps}
    assert page.html.count('aria-label="To do"') == len(moments)
    first = [s for s in course.steps if s.at == course.steps[0].at]
    for step in first:
        runs.post("/tanks/t7/steps", runs.get("/tanks/T7"), done=step.id)
    page = runs.get("/tanks/T7/calendar")
    assert page.html.count('aria-label="Done"') == 1
    assert page.html.count('aria-label="To do"') == len(moments) - 1


def test_days_away_and_what_falls_on_them_are_shown(runs):
    page = runs.get("/tanks/T7/calendar")
    assert "Away Thu 14 to Sun 24 May." in page.words
    assert page.words.count(" away ") >= 11
    room = runs.desk.room()
    found = calendar_of(room, NOW, "UTC", load(), hours_of(room.kit.hours), "t7")
    outside = sum(m.outside for m in found.moments)
    assert outside > 0
    assert page.words.count("outside your hours") == outside + 1  # and once under the heading


def test_a_proposed_course_is_shown_without_being_written_down(keeper):
    before = len(keeper.entries)
    page = keeper.get("/tanks/T7/calendar", **COURSE)
    assert "Praziquantel in the tank in T7" in page.heading()
    assert "Back to the course" in page.words
    _, found = events(keeper, "/tanks/t7/calendar.ics", **COURSE)
    assert len(found) > 3
    assert len(keeper.entries) == before


def test_begun_it_keeps_the_names_it_had_when_it_was_proposed(keeper):
    """So a file taken before it is begun leaves no doubles."""
    _, before = events(keeper, "/tanks/t7/calendar.ics", **COURSE)
    keeper.post("/tanks/T7/course", keeper.get("/tanks/new"), **COURSE)
    answer, after = events(keeper, "/tanks/t7/calendar.ics")
    assert {str(e["UID"]) for e in before} == {str(e["UID"]) for e in after}
    assert answer.headers["content-disposition"] == 'attachment; filename="t7.ics"'


def test_what_is_refused_has_no_calendar(keeper):
    for url in ("/tanks/T7/calendar", "/tanks/T7/calendar.ics"):
        answer = keeper.client.get(url, params={"substance": "copper", "route": "water_long"})
        assert answer.status_code == 409
        assert answer.headers["content-type"].startswith("text/html")


def test_a_tank_that_is_none_is_one_sentence(keeper):
    assert keeper.get("/tanks/T99/calendar").code in (404, 422)
    assert keeper.get("/tanks/T99/calendar.ics").code in (404, 422)
