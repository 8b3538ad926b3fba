"""After a course on pages: asked for in the round, closed in one touch, watched, held, taken back."""

from datetime import timedelta

import pytest
from starlette.testclient import TestClient

from tankward.desk.desk import Desk
from tankward.room.acts import Dose, LookAgain
from tankward.room.entries.acts import CourseBegun, Step
from tankward.room.entries.corrections import Undone
from tankward.room.entries.ends import CourseClosed
from tankward.room.entries.looks import Look
from tankward.web.app import create
from tests.helpers.rooms import entries_from

from .visitor import NOW, ORIGIN, Visitor

BEGUN = NOW - timedelta(days=9)
COURSE, AGAIN = (f"0196c000-0000-7000-8000-{n:012d}" for n in (1, 2))
ROOM = """
1 May 2026 08:00  tank  T6  volume="31 L" temp=24C
1 May 2026 08:00  tank  T8  volume="21 L" temp=24C place=1
1 May 2026 08:01  stock T6  kind=cherry_barb number=12
1 May 2026 08:01  stock T8  kind=pearl_danio_celestial name=danios number=18
1 May 2026 08:02  supply "cooking salt" unit=g sodium_chloride="1000 mg" left=500 price=0.002
2 May 2026 19:00  look T8  seen="white spots; flashing" share=some
6 May 2026 19:00  clean T6  what=net how="the blue one"
6 May 2026 19:30  clean T8  what=net how="the blue one"
"""


def begun(tank="t8", days=(0, 2), **more):
    given = Dose(actives={"sodium_chloride": 21_000.0}, supply="cooking-salt", units=21.0)
    steps = [Step(id=f"{tank}-{n}", at=BEGUN + timedelta(days=d), act=given) for n, d in enumerate(days)]
    look = Step(id=f"{tank}-look", at=BEGUN + timedelta(days=20), act=LookAgain(what="the same signs"))
    told = {"substance": "sodium_chloride", "route": "water_long", "cause": "white_spot"} | more
    return CourseBegun(id=COURSE, at=BEGUN, tank=tank, name="salt in the tank", steps=(*steps, look), **told)


class Late(Visitor):
    """Somebody whose clock a test can put forward."""

    def __init__(self, folder, *more):
        self.now = NOW
        self.desk = Desk.open(folder, make=True)
        self.desk.append(*entries_from(ROOM), *more)
        app = create(self.desk, clock=lambda: self.now, zone="UTC")
        self.client = TestClient(app, base_url=ORIGIN, follow_redirects=False)

    def later(self, **span):
        self.now += timedelta(**span)


@pytest.fixture
def keeper(tmp_path):
    return Late(tmp_path / "room", begun())


def closed(keeper, outcome="cleared", **typed):
    page = keeper.get("/tanks/t8/close")
    return keeper.post("/tanks/t8/close", page, outcome=outcome, **typed)


def test_a_course_that_is_over_asks_in_the_round_how_it_ended(keeper):
    page = keeper.get("/today")
    assert "How did the course in T8 end?" in page.words
    assert "/tanks/t8/close" in page.links
    assert "Closed, it is looked at on 9 May, 14 May and 22 May" in page.words
    asked = keeper.get("/tanks/t8/close")
    assert asked.heading() == "How did the course in T8 end?"
    assert [f["value"] for f in asked.fields if f.get("name") == "outcome"] == [
        "cleared", "better", "no_change", "worse", "not_known",
    ]  # fmt: skip
    assert "2 steps of it are not ticked" in asked.words
    assert "looked at on 9 May, 14 May and 22 May" in asked.words


def test_one_touch_closes_it_and_one_takes_it_back(keeper):
    done = closed(keeper)
    assert done.code == 303 and done.to.startswith("/tanks/t8?kept=") and done.to.endswith("#after")
    entry = keeper.entries[-1]
    assert isinstance(entry, CourseClosed)
    assert (entry.outcome, entry.course) == ("cleared", COURSE)
    page = keeper.get(done.to)
    assert "After the course" in page.words and "Cleared, as far as could be seen" in page.words
    assert "Written down in T8: Course closed" in page.words
    keeper.post("/entries/undo", page, entries=entry.id, back="/tanks/t8")
    assert isinstance(keeper.entries[-1], Undone)
    assert "How did it end?" in keeper.get("/tanks/t8").words


def test_what_cannot_be_stays_typed_with_words_beside_it(keeper):
    again = closed(keeper, seen="white spots", note="two of them")
    assert again.code == 422 and "can't be while signs are still seen" in again.words
    assert "two of them" in again.html
    nothing = keeper.post("/tanks/t8/close", keeper.get("/tanks/t8/close"), note="x")
    assert nothing.code == 422 and "How did it end?" in nothing.words


def test_rule_26_who_stays_is_said_at_the_end_of_a_course(keeper):
    closed(keeper)
    page = keeper.get("/tanks/t8")
    assert "Nothing from T8 is sold, given or mixed before" in page.words
    assert "white spot" in page.words
    assert "disease free" not in page.words and "free of disease" not in page.words
    met = keeper.get("/tanks/t6")
    assert "it shared a net with T8" in met.words


def test_rule_26_it_is_said_where_somebody_is_about_to_leave(keeper):
    assert "is sold, given or mixed" not in keeper.get("/tanks/t6/log/remove").words
    closed(keeper)
    assert "Nothing from T8 is sold, given or mixed before" in keeper.get("/tanks/t8/log/remove").words
    moving = keeper.get("/tanks/t8/move")
    told = keeper.post("/tanks/t8/move", moving, stock="t8-danios", to="t6", number="2")
    assert "Nothing from T8 is sold, given or mixed before" in told.words


def test_the_round_brings_the_looks_and_one_touch_is_a_look(keeper):
    closed(keeper)
    words = keeper.get("/today").words  # day 8 after the last dose: one could show by now
    assert "Look in T8 for white spots" in words or "Look in T8 for" in words
    page = keeper.get("/today")
    keeper.post("/tanks/t8/watched", page, do="absent", back="/today")
    look = keeper.entries[-1]
    assert isinstance(look, Look) and "white_spots" in look.absent and not look.seen
    assert "Look in T8 for" not in keeper.get("/today").words
    keeper.later(days=30)
    assert "Look in T8 for" in keeper.get("/today").words


def test_a_sign_seen_again_is_said_with_the_day_of_the_watch(keeper):
    closed(keeper)
    keeper.later(days=3)
    keeper.desk.append(Look(id=AGAIN, at=keeper.now, tank="t8", seen=("white_spots",)))
    keeper.later(minutes=5)
    page = keeper.get("/today")
    assert "It is back in T8, by what is seen:" in page.words
    assert "of the watch" in page.words
    assert "/tanks/t8/causes" in page.links
    assert "It is back in T8" in keeper.get("/tanks/t8").words


def test_a_course_that_is_not_over_is_not_asked_for(tmp_path):
    keeper = Late(tmp_path / "room", begun(days=(0, 12)))
    assert "How did the course in T8 end?" not in keeper.get("/today").words
    assert "It is over: how did it end?" in keeper.get("/tanks/t8").words


def test_without_a_course_the_page_says_so(tmp_path):
    keeper = Late(tmp_path / "room")
    page = keeper.get("/tanks/t8/close")
    assert page.code == 422 and "has no course that could be closed" in page.words


def test_a_packet_that_is_not_enough_is_due_and_said_in_the_tank(tmp_path):
    few = begun(days=(0, 2, 12, 14))
    keeper = Late(tmp_path / "room", few)
    fewer = '12 May 2026 08:00  supply "cooking salt" unit=g sodium_chloride="1000 mg" left=50'
    keeper.desk.append(*entries_from(fewer))
    words = keeper.get("/today").words
    assert "The course in T8 still takes 84 g of cooking salt, and 50 g" in words
    assert "The rest takes 84 g of cooking salt: 50 g" in keeper.get("/tanks/t8").words
