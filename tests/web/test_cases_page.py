"""Cases that are over, on their page; what worked or did not beside the remedy; what courses still take."""

import pytest

from tankward.room.entries.acts import Done

from .demo_room import DemoVisitor
from .test_after_pages import Late, begun, closed


@pytest.fixture
def keeper(tmp_path):
    """T8 in a course of salt, its first dose ticked."""
    course = begun()
    tick = Done(
        id="0196c000-0000-7000-8000-000000000009", at=course.steps[0].at, tank="t8", act=course.steps[0].act,
        step=course.steps[0].id,
    )  # fmt: skip
    return Late(tmp_path / "room", course, tick)


def test_nothing_is_over_yet(keeper):
    page = keeper.get("/cases")
    assert page.heading() == "No case is over yet"
    assert "A case is kept once its course is closed" in page.words
    assert "/cases" in keeper.get("/more").links


def test_a_case_says_what_was_seen_taken_for_done_and_paid(keeper):
    closed(keeper, "better", note="The small ones took longest.", cause="velvet")
    page = keeper.get("/cases")
    assert page.heading() == "One case"
    for part in (
        "T8", "Salt in the tank", "Better", "Seen: white spots like salt and rubbing on things.",
        "Taken to have been velvet.", "one day; none died", "Given: 21 g of cooking salt. It cost 0.042",
        "The small ones took longest.",
    ):  # fmt: skip
        assert part.lower() in page.words.lower(), part
    assert keeper.get("/cases", tank="T8").heading() == "One case in T8"
    assert keeper.get("/cases", tank="T6").heading() == "No case is over yet in T6"
    assert keeper.get("/cases", tank="T99").code == 422


def test_what_it_did_here_stands_with_the_remedy(keeper):
    closed(keeper, "no_change")
    words = keeper.get("/tanks/t8/options", cause="white_spot").words
    assert "Here it did not help, 3 May." in words
    assert "In T8 it did not help, 3 May." in keeper.get("/tanks/t6/options", cause="white_spot").words
    assert "did not help" not in keeper.get("/tanks/t8/options", cause="camallanus").words


def test_a_case_of_an_end_that_was_taken_back_is_none(keeper):
    done = closed(keeper)
    page = keeper.get(done.to)
    keeper.post("/entries/undo", page, entries=keeper.entries[-1].id, back="/tanks/t8")
    assert keeper.get("/cases").heading() == "No case is over yet"


def test_the_report_for_a_veterinarian_says_how_courses_ended(keeper):
    closed(keeper, "no_change", cause="velvet")
    words = keeper.get("/tanks/t8/case").words
    assert "Course closed; no change. Taken to have been velvet" in words


def test_the_shelf_says_what_courses_still_take(keeper):
    assert "The course in T8 takes 21 g more" in keeper.get("/shelf/cooking-salt").words
    assert "not enough" not in keeper.get("/shelf").words


def test_the_demo_keeps_a_case_and_closes_none_by_itself(tmp_path):
    visitor = DemoVisitor(tmp_path / "demo")
    page = visitor.get("/cases")
    assert page.heading() == "One case, cleared as far as could be seen"
    assert "Salt and warmth against white spots" in page.words
