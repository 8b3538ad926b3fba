"""By thumb and at a desk: a course closed, its watch in the round, a look in one touch, an undo too."""

import re

import pytest
from playwright.sync_api import expect

from tankward.room.entries.ends import CourseClosed
from tankward.room.entries.looks import Look
from tests.browser.axe import broken
from tests.browser.conftest import serving
from tests.browser.windows import DESKTOP, PHONE
from tests.web.test_after_pages import ROOM, begun


@pytest.fixture
def treated(tmp_path):
    """T8 with white spots, its course of salt over; T6 shared its net."""
    with serving(tmp_path / "room", ROOM) as room:
        with room.desk as desk:
            desk.append(begun())
        yield room


def told(room, kind):
    with room.desk as desk:
        standing = desk.room().log
        return [e for e in standing if isinstance(e, kind)]


@pytest.mark.parametrize("size", [PHONE, DESKTOP], ids=["phone", "desktop"])
def test_it_is_closed_in_two_touches_and_the_watch_shows_in_the_round(window, treated, size):
    page = window(size)
    page.goto(treated("/today"))
    page.get_by_role("link", name="How did the course in T8 end?").click()
    assert page.locator("h1").inner_text().replace("\n", " ") == "How did the course in T8 end?"
    page.get_by_role("button", name="Cleared, as far as you can see").click()
    page.wait_for_url("**/tanks/t8?kept=*")
    assert [e.outcome for e in told(treated, CourseClosed)] == ["cleared"]
    assert "Nothing from T8 is sold, given or mixed before" in page.locator("main").inner_text()
    page.goto(treated("/today"))
    row = page.locator("li.row", has_text="Look in T8 for")
    assert re.search(r"day \d+ of the watch", row.inner_text())
    row.get_by_role("button", name="Not there").click()
    page.wait_for_url("**/today?kept=*")
    expect(page.locator("li.row", has_text="Look in T8 for")).to_have_count(0)
    (look,) = [e for e in told(treated, Look) if e.absent]
    assert set(look.absent) == {"white_spots", "flashing"}


@pytest.mark.parametrize("size", [PHONE, DESKTOP], ids=["phone", "desktop"])
def test_it_is_taken_back_where_it_was_told_without_scripts(window, treated, size):
    page = window(size, scripts=False)
    page.goto(treated("/tanks/t8/close"))
    page.get_by_role("button", name="Worse", exact=True).click()
    assert [e.outcome for e in told(treated, CourseClosed)] == ["worse"]
    page.get_by_role("button", name="Undo", exact=True).first.click()
    assert told(treated, CourseClosed) == []
    assert page.get_by_role("link", name="How did it end?").count() == 1


@pytest.mark.parametrize("night", [False, True], ids=["day", "night"])
@pytest.mark.parametrize("path", ["/tanks/t8/close", "/cases", "/today"])
def test_everybody_can_use_it(window, treated, path, night):
    for width in (320, 390, 1280):
        page = window({"width": width, "height": 844}, night=night)
        page.goto(treated(path))
        wide = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
        assert page.evaluate(wide) <= 0
    assert broken(page) == []


def test_what_is_touched_to_close_it_is_large_enough(window, treated):
    page = window(PHONE)
    page.goto(treated("/tanks/t8/close"))
    heights = page.evaluate(
        "() => [...document.querySelectorAll('main button.wide')].map(e => e.offsetHeight)"
    )
    assert len(heights) == 5 and min(heights) >= 48
