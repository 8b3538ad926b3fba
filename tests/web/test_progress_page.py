"""Is it helping, on its own page: worked out beside it, told with what was expected, never too sure."""

import re
import threading
from datetime import timedelta

import pytest

from tankward.model.run import warm
from tankward.web import progress as beside
from tests.judge.treated import FEWER, ID, MORE, ROOM, after, course, room_of

from .test_course_page import settled
from .visitor import Visitor

PAGE = "/tanks/t7/progress"
SICK = '11 May 2026 12:00 look T7 seen=on_side\n12 May 2026 18:00 look T7 seen="on_side; cotton_tufts"\n'


@pytest.fixture(autouse=True, scope="module")
def quick():
    warm(wait=True)


class Later(Visitor):
    """Somebody who opens the page on a day of the course."""

    def __init__(self, folder, day, lines=""):
        super().__init__(folder)
        self.desk.append(*room_of(lines, day).log)
        self.client.app.state.clock = lambda: after(day)


@pytest.fixture(scope="module")
def opened(tmp_path_factory):
    def opened(name, day, lines=""):
        if name not in kept:
            visitor = Later(tmp_path_factory.mktemp(name) / "room", day, lines)
            kept[name] = visitor, settled(visitor, PAGE)
        return kept[name]

    kept = {}
    return opened


def test_too_early_names_the_day_and_what_was_expected(opened):
    page = opened("early", 1.0)[1]
    assert page.heading() == "Too early to say. It can be decided Thu 7 May."
    words = page.words
    assert re.search(r"By today \d+ to \d+ of 20 would still show rubbing on things if it is helping", words)
    assert "Count 20 every second day from Tue 5 May on" in words
    assert "Why, and what to change" not in words
    assert words.index("How likely") < words.index("When to stop") < words.index("Back to T7")


def test_helping_does_not_say_it_is_gone(opened):
    page = opened("fewer", 11.0, FEWER)[1]
    assert page.heading() == "Helping, by the counts since. That does not say it is gone."
    assert "Who stays where they are" in page.words
    assert not re.search(r"\bcured\b|disease.free", page.words, re.IGNORECASE)
    assert "If it is helping" in page.html
    assert "If it does too little" in page.html


def test_not_helping_tells_why_what_to_look_at_and_who_may_suffer(opened):
    page = opened("more", 11.0, MORE + SICK)[1]
    words = page.words
    assert page.heading().startswith("Not helping")
    assert words.index("One may be suffering") < words.index("How likely") < words.index("Why, and what")
    assert "Ask a veterinarian first" in words
    assert "A fresh dead fish opened by a veterinarian would settle it." in words
    assert re.search(r"1 It is another cause, perhaps", words)
    assert {"/tanks/t7/causes", "/tanks/t7/case", "/know/hygiene-euthanasia"} <= set(page.links)
    visitor = opened("more", 11.0)[0]
    for link in page.links:
        assert visitor.get(link).code == 200


def test_the_tanks_page_says_the_same_and_leads_there(opened):
    for name, day in (("early", 1.0), ("fewer", 11.0)):
        visitor, page = opened(name, day)
        tank = settled(visitor, "/tanks/t7")
        told = tank.words.split("Is it helping?")[1].split("The water")[0]
        assert page.heading() in told
        assert "/tanks/t7/progress" in tank.links


def test_nobody_waits_for_it(tmp_path, monkeypatch):
    visitor, gate = Later(tmp_path / "room", 1.0), threading.Event()
    real = beside.helping
    monkeypatch.setattr(beside, "helping", lambda *a: gate.wait(60) and real(*a))
    page = visitor.get(PAGE)
    assert page.heading() == "How it stands against what was expected is being worked out."
    assert "data-waits" in page.html
    assert "Rubbing on things: 8 of 20 yesterday, not counted since" in page.words
    assert "Working out what was expected by now" in page.words
    gate.set()
    assert settled(visitor, PAGE).heading().startswith("Too early to say.")


def test_without_a_course_it_says_so(tmp_path):
    page = Visitor(tmp_path / "room", ROOM).get(PAGE)
    assert page.code == 200
    assert page.heading() == "No course runs here."
    assert Visitor(tmp_path / "other", ROOM).get("/tanks/t99/progress").code == 422


def test_what_is_no_life_of_the_facts_is_told_by_heads(tmp_path):
    visitor = Visitor(tmp_path / "room")
    log = [e for e in room_of(FEWER, 11.0).log if e.id != ID.format(1)]
    visitor.desk.append(*log, course(cause=""))
    visitor.client.app.state.clock = lambda: after(11) + timedelta(minutes=1)
    page = settled(visitor, PAGE)
    assert page.heading() == "Helping: fewer show it than chance explains. That does not say it is gone."
    assert "No cause was named when it began, so only heads before and since are compared." in page.words
    assert "How likely" not in page.words
