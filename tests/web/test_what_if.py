"""What if on a tank's page: one touch, answered in place, in nobody's way, never written down."""

import threading

import pytest

from tankward.model.run import warm
from tankward.web import what_if

from .test_course_page import PAGE as COURSE
from .test_course_page import SALT, keeper, settled, treated

__all__ = ["keeper", "treated"]
PAGE = "/tanks/t8"


@pytest.fixture(autouse=True, scope="module")
def quick():
    """Four weeks ahead, time and again: as in a program that has been open for a while."""
    warm(wait=True)


def asked(page):
    return {f["value"]: f for f in page.fields if f.get("name") == "if"}


def test_without_a_course_nothing_is_asked(keeper):
    assert "What if?" not in settled(keeper, PAGE).words


def test_one_touch_is_answered_beside_the_plan_and_nothing_is_written(treated):
    before = len(treated.entries)
    page = settled(treated, PAGE)
    assert {"later", "skip", "more"} <= set(asked(page))
    assert 'method="get" action="/tanks/t8#what-if"' in page.html
    then = settled(treated, PAGE, **{"if": "skip"})
    answer = then.words[then.words.index("If the next dose is skipped") :]
    for part in ("highest", "Oxygen, lowest", "White spot, all gone in 28 days", "As planned:"):
        assert part in answer
    assert "nothing is written down" in answer
    assert asked(then)["skip"].get("aria-pressed") == "true"
    assert len(treated.entries) == before


def test_nobody_waits_for_the_answer(treated, monkeypatch):
    settled(treated, PAGE)
    gate = threading.Event()
    real = what_if.what_if
    monkeypatch.setattr(what_if, "what_if", lambda *a: gate.wait(30) and real(*a))
    page = treated.get(PAGE, **{"if": "later"})
    assert "Working it out." in page.words
    assert "data-waits" in page.html
    gate.set()
    assert "Working it out." not in settled(treated, PAGE, **{"if": "later"}).words


def test_what_nobody_asks_is_no_question(treated):
    settled(treated, PAGE)
    page = treated.get(PAGE, **{"if": "<b>boil it</b>"})
    assert page.code == 200
    assert "boil it" not in page.html


def test_a_proposed_course_may_be_asked_before_it_is_begun(keeper):
    before = len(keeper.entries)
    page = settled(keeper, COURSE, **SALT)
    assert {"later", "skip", "more"} <= set(asked(page))
    assert page.hidden("substance")[:1] == ["sodium_chloride"]
    then = settled(keeper, COURSE, **SALT, **{"if": "skip"})
    answer = then.words[then.words.index("If the next dose is skipped") :]
    for part in ("highest", "Oxygen, lowest", "White spot, all gone in", "As planned:"):
        assert part in answer
    assert "How likely harm is" in then.words
    assert len(keeper.entries) == before
