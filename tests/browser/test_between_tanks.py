"""Newcomers and a tank wound down by thumb, without scripts; the three pages hold the rules for everyone."""

import pytest

from tests.browser.axe import broken
from tests.browser.conftest import serving
from tests.browser.windows import PHONE
from tests.web.test_between_tanks_pages import ROOM

PAGES = (
    "/tanks/t8/contact", "/tanks/t8/wind-down", "/quarantine?animals-0=8+platies+2.5+cm&source-0=auction",
)  # fmt: skip


@pytest.fixture
def room(tmp_path):
    with serving(tmp_path / "room", ROOM) as served:
        yield served


def test_they_hold_on_a_narrow_phone_and_can_be_used(window, room):
    page = window(PHONE)
    for path in PAGES:
        page.goto(room(path))
        assert broken(page) == []
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wide <= 0, path
    page.get_by_role("button", name="They are in: write it down").click()
    page.wait_for_url("**/quarantine*")
    assert "T9: day 1" in page.locator("h1").inner_text().replace("\n", " ")
    page.goto(room("/tanks/t8/wind-down"))
    page.get_by_text("Write down where they went").first.click()
    page.get_by_label("Where did the danios go?").select_option("to T6")
    page.get_by_role("button", name="Write it down").first.click()
    page.wait_for_url("**/tanks/t8/wind-down?kept=*")
    assert "Nobody lives in T8" in page.locator("h1").inner_text().replace("\n", " ")
