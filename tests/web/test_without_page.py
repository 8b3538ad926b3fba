"""A remedy without medicine in pages: from what can be done to its dates, begun, ticked, printed."""

import time

import pytest

from tankward.room.acts import Apart, Transfer
from tankward.room.entries.acts import CourseBegun, Done
from tests.show.pdf_pages import pages

from .visitor import Visitor

# T8 of 21.7 L with danios that show white grains, shrimp beside them. All of it invented.
ROOM = """
1 May 2026 08:00  kit   scale=0.1g syringes="1 mL, 5 mL" buckets="10 L" region=other
1 May 2026 08:00  tank  T8  volume="21.7 L" temp=24.5C filter=sponge tap=chloramine
1 May 2026 08:01  stock T8  kind=pearl_danio_celestial name=danios number=18 length=2.2cm stock=danios
1 May 2026 08:02  stock T8  kind=cherry_shrimp name=shrimp number=12 stock=shrimp
12 May 2026 20:00 reading T8  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.4 temp=24.5C
12 May 2026 20:10 look  T8  seen=white_spots
"""
OUT = {"remedy": "fish_out", "cause": "white_spot"}
PAGE = "/tanks/t8/course"


@pytest.fixture
def keeper(tmp_path):
    return Visitor(tmp_path / "room", ROOM)


@pytest.fixture
def begun(keeper):
    """T8 with its fish to go out."""
    page = keeper.get(PAGE, **OUT)
    assert keeper.post(PAGE, page, **OUT).to == "/tanks/t8#planned"
    return keeper


def settled(keeper, url, **query):
    """The page once what is worked out beside it is there."""
    for _ in range(300):
        page = keeper.get(url, **query)
        if "data-waits" not in page.html:
            return page
        time.sleep(0.2)
    raise AssertionError("the page never came to rest")


def test_what_can_be_done_leads_to_its_dates(keeper):
    page = keeper.get("/tanks/t8/options", cause="white_spot")
    links = [url for url in page.links if "remedy=fish_out" in url]
    assert links
    assert keeper.get(links[0]).heading().endswith("in T8: all fish out of the tank for")


def test_the_page_tells_days_tubs_moves_and_how_they_were_come_by(keeper):
    words = keeper.get(PAGE, **OUT).words
    assert "all fish out of the tank for" in words
    assert "14 days in two tubs of 10 L, moved every 8 hours for 8 days" in words
    assert "Why 14 days" in words
    assert "the trade's figure" in words.lower()
    for step in ("Make two bare tubs ready", "All danios out of the tank", "No fish goes back for 14 days"):
        assert step in words
    assert "move the fish to the clean tub, 1 of 23" in words
    assert "Other hours, other tubs, other days" in words


def test_other_tubs_and_hours_are_asked_for_and_hold(keeper):
    words = keeper.get(PAGE, **OUT, tub="15 L", every="6 h", days="20 days").words
    assert "20 days in two tubs of 15 L, moved every 6 hours" in words
    no = keeper.get(PAGE, **OUT, every="1 h")
    assert no.code == 422
    assert "too short for the fish" in no.words
    assert 'name="every"' in no.html


def test_the_chances_tell_both_waters_and_the_weaker_part(keeper):
    words = settled(keeper, PAGE, **OUT).words
    assert "all gone in 14 days" in words
    assert "White spot gone in the tank while these are out of it" in words
    assert "White spot gone on the fish in the tub" in words
    assert "in the tub" in words.lower()
    assert "known to kill" not in words


def test_begun_its_steps_are_ticked_where_they_are_done(begun):
    (course,) = [e for e in begun.entries if isinstance(e, CourseBegun)]
    assert (course.substance, course.remedy, course.cause) == ("", "fish_out", "white_spot")
    tubs = [s for s in course.steps if s.tub]
    assert any(isinstance(s.act, Transfer) for s in tubs)
    over = next(s for s in course.steps if isinstance(s.act, Apart))
    move = next(s for s in tubs if isinstance(s.act, Transfer))
    page = begun.get("/tanks/t8")
    assert "fish out, the tank without fish" in page.words
    for step in (over, move):
        assert begun.post("/tanks/t8/steps", page, done=step.id).code == 303
    assert set(begun.desk.room().apart) == {"danios"}
    done = {e.step: e for e in begun.entries if isinstance(e, Done)}
    assert done[over.id].act == over.act and not done[over.id].tub
    assert done[move.id].act == move.act and done[move.id].tub


def test_the_round_brings_its_steps(begun):
    words = begun.get("/today").words
    assert words.index("T8: make two bare tubs ready") < words.index("T8: all danios out of the tank")


def test_its_sheet_has_a_box_for_every_step(keeper):
    link = next(url for url in keeper.get(PAGE, **OUT).links if "sheet.pdf" in url)
    text = " ".join(page.text for page in pages(keeper.client.get(link).content))
    assert "T8: fish out, the tank without fish" in text.replace("\n", " ")
    assert "Move the fish to the clean tub, 23 of 23" in text.replace("\n", " ")


def test_daily_siphon_and_waiting_have_pages_of_their_own(keeper):
    words = keeper.get(PAGE, remedy="daily_siphon", cause="white_spot", days="5 days").words
    assert "siphon the floor every day for 5 days, and change" in words
    assert "5.4 L of water, 25 %" in words
    no = keeper.get(PAGE, remedy="wait_and_count", cause="white_spot")
    assert no.code == 422
    assert "no remedy for" in no.words
    assert (
        "count them, and count again in" in keeper.get(PAGE, remedy="wait_and_count", cause="hexamita").words
    )


def test_a_remedy_that_is_none_is_one_sentence(keeper):
    no = keeper.get(PAGE, remedy="prayer", cause="white_spot")
    assert no.code == 422
    assert "is no remedy with dated steps" in no.words
