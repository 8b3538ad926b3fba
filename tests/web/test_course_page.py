"""Tank and course in pages: what stands first, ticks, undo, refusals; nobody waits for a forecast."""

import threading
import time

import pytest

from tankward.desk import forecasts
from tankward.room.entries.acts import CourseBegun, CourseStopped, Done, StepSkipped
from tankward.room.entries.corrections import Undone
from tankward.web.pages import course

from .visitor import Visitor

# T8 of 21.7 L with danios that show white grains; salt on the shelf. All of it invented.
ROOM = """
1 May 2026 08:00  kit   scale=0.1g syringes="1 mL, 5 mL" buckets="10 L" region=other
1 May 2026 08:00  tank  T8  volume="21.7 L" temp=24C filter=sponge tap=chloramine
1 May 2026 08:01  stock T8  kind=pearl_danio_celestial name=danios number=18 length=2.2cm
1 May 2026 08:02  supply "cooking salt" unit=g sodium_chloride="1000 mg"
1 May 2026 08:10  tank  Bare
12 May 2026 20:00 reading T8  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.4 temp=24C
12 May 2026 20:10 look  T8  seen=white_spots
"""
SALT = {"substance": "sodium_chloride", "route": "water_long", "cause": "white_spot"}
PAGE = "/tanks/t8/course"


@pytest.fixture
def keeper(tmp_path):
    return Visitor(tmp_path / "room", ROOM)


@pytest.fixture
def treated(keeper):
    """T8 in a course of salt."""
    page = keeper.get(PAGE, **SALT)
    assert keeper.post(PAGE, page, **SALT).to == "/tanks/t8#planned"
    return keeper


def settled(keeper, url, **query):
    """The page once what is worked out beside it is there."""
    for _ in range(150):
        page = keeper.get(url, **query)
        if "data-waits" not in page.html:
            return page
        time.sleep(0.2)
    raise AssertionError("the page never came to rest")


def test_the_page_opens_with_what_it_reaches_and_the_amount(keeper):
    page = keeper.get(PAGE, **SALT)
    assert page.heading().endswith("in T8: change half, then give")
    words = page.words
    assert words.index("Reaches it") < words.index("21.7 g of cooking salt")
    assert "Why 21.7 g" in words and "water of the tank" in words
    for part in ("Step by step", "Who bears it", "How likely harm is", "Begin this course", "Print"):
        assert part in words


def test_nobody_waits_for_the_chances(keeper, monkeypatch):
    gate = threading.Event()
    real = course.chances_of
    monkeypatch.setattr(course, "chances_of", lambda *a: gate.wait(30) and real(*a))
    first = keeper.get(PAGE, **SALT)
    assert "Working out how likely harm is" in first.words
    assert "data-waits" in first.html
    gate.set()
    then = settled(keeper, PAGE, **SALT)
    assert "Oxygen falls under 5 mg/L" in then.words
    assert "White spot, all gone in" in then.words


def test_a_refusal_is_a_page_with_every_reason_and_the_way_on(keeper):
    page = keeper.get(PAGE, substance="formalin", route="water_long")
    assert page.code == 409
    assert "No" in page.words and "Would change: Read the oxygen." in page.words
    assert {f["name"] for f in page.fields if f["tag"] == "select"} >= {"window", "goggles", "expert"}
    assert "/tanks/t8/log/reading" in page.links


def test_a_start_that_cannot_be_read_keeps_the_form(keeper):
    page = keeper.get(PAGE, **SALT, start="soonish")
    assert page.code == 422
    start = next(f for f in page.fields if f.get("name") == "start")
    assert start["value"] == "soonish" and "aria-invalid" in start
    assert page.hidden("substance") == ["sodium_chloride"]


def test_beginning_writes_one_entry_with_the_steps_that_were_shown(keeper):
    page = keeper.get(PAGE, **SALT)
    keeper.post(PAGE, page, **SALT)
    (begun,) = [e for e in keeper.entries if isinstance(e, CourseBegun)]
    assert begun.cause == "white_spot" and begun.supply == "cooking-salt"
    first = next(s for s in begun.steps if s.says.startswith("Give"))
    assert first.says == "Give 21.7 g of cooking salt." and first.says in page.words
    again = keeper.post(PAGE, page, **SALT)
    assert again.code == 409 and "One medicine at a time" in again.words


def test_a_form_without_its_token_begins_nothing(keeper):
    before = len(keeper.entries)
    assert keeper.post(PAGE, None, **SALT).code == 403
    assert len(keeper.entries) == before


def ticks(page):
    return [f["value"] for f in page.fields if f.get("name") == "done"]


def test_a_tick_is_an_entry_and_a_second_touch_writes_nothing(treated):
    page = treated.get("/tanks/t8")
    dose = next(step for step in ticks(page) if step.endswith("-dose-1"))
    for _ in range(2):
        assert treated.post("/tanks/t8/steps", page, done=dose).code == 303
    (done,) = [e for e in treated.entries if isinstance(e, Done)]
    assert done.step == dose and done.act.actives == {"sodium_chloride": pytest.approx(21700)}
    after = treated.get("/tanks/t8")
    assert dose not in ticks(after) and "Done so far: 1" in after.words


def test_undo_brings_the_step_back(treated):
    page = treated.get("/tanks/t8")
    step = ticks(page)[0]
    treated.post("/tanks/t8/steps", page, done=step)
    page = treated.get("/tanks/t8")
    entry = next(f["value"] for f in page.fields if f.get("name") == "entry")
    assert treated.post("/tanks/t8/undo", page, entry=entry).code == 303
    assert isinstance(treated.entries[-1], Undone)
    assert step in ticks(treated.get("/tanks/t8"))


def test_a_step_left_out_and_a_course_stopped_are_entries(treated):
    page = treated.get("/tanks/t8")
    treated.post("/tanks/t8/steps", page, skip=ticks(page)[0])
    assert isinstance(treated.entries[-1], StepSkipped)
    treated.post("/tanks/t8/course-stop", page, why="moved")
    assert isinstance(treated.entries[-1], CourseStopped) and treated.entries[-1].why == "moved"
    assert ticks(treated.get("/tanks/t8")) == []


def test_the_tank_page_is_there_before_its_forecast(keeper, monkeypatch):
    gate = threading.Event()
    real = forecasts.forecast
    monkeypatch.setattr(forecasts, "forecast", lambda *a, **k: gate.wait(30) and real(*a, **k))
    page = keeper.get("/tanks/t8")
    assert "Working out how the water will go" in page.words
    assert "danios" in page.words and "white" in page.heading().lower()
    gate.set()
    page = settled(keeper, "/tanks/t8")
    assert "Ammonia" in page.words and "The same as a table" in page.words


def test_a_tank_without_litres_says_so_and_does_not_ask_again(keeper):
    page = keeper.get("/tanks/bare")
    assert "We don't know" in page.words
    assert "data-waits" not in page.html
    assert "/tanks/bare/log/volume" in page.links


def test_the_volume_shows_its_working(keeper):
    assert "How we got 22 L" in keeper.get("/tanks/t8").words


def test_animals_are_added_on_a_page_of_their_own(keeper):
    page = keeper.get("/tanks/t8/stock")
    sent = keeper.post("/tanks/t8/stock", page, kind="cherry_shrimp", number="12", name="shrimp")
    assert sent.code == 303
    assert "shrimp" in keeper.get("/tanks/t8").words


def test_a_step_that_was_done_earlier_is_ticked_at_its_hour(treated):
    """The course is moved back, so that an hour ago it ran already."""
    page = treated.get("/tanks/t8")
    dose = ticks(page)[0]
    assert "It was done earlier" in page.words
    early = treated.post("/tanks/t8/steps", page, done=dose, when="20 days ago")
    assert early.code == 422
    assert "before this course was begun" in early.words
    assert treated.post("/tanks/t8/steps", page, done=dose, when="tomorrow 10:00").code == 422
    before = len(treated.entries)
    assert treated.post("/tanks/t8/steps", page, when="1 hour ago").code == 303, "the enter key ticks nothing"
    assert len(treated.entries) == before
    begun = treated.desk.room().courses["t8"].at
    assert treated.post("/tanks/t8/steps", page, done=dose, when=begun.isoformat()).code == 303
    (done,) = [e for e in treated.entries if getattr(e, "step", "") == dose]
    assert done.at == begun
