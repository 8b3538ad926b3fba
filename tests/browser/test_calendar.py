"""The calendar by thumb and beside a keyboard: hours told, a course begun, its days on the page."""

import pytest
from playwright.sync_api import expect

from .axe import broken
from .windows import DESKTOP, PHONE

COURSE = "/tanks/t7/course?substance=praziquantel&route=water_long&cause=skin_flukes"
FITS = "document.documentElement.scrollWidth <= window.innerWidth"


@pytest.mark.parametrize("size", [PHONE, DESKTOP])
def test_hours_are_shown_before_they_are_kept(served, window, size):
    page = window(size)
    page.goto(served("/more"))
    page.get_by_role("link", name="Kit", exact=True).click()
    page.get_by_role("link", name="When you can be at the tanks").click()
    page.get_by_label("Your hours").fill("after work")
    page.get_by_role("button", name="Show me two weeks of it").click()
    expect(page.locator(".fault")).to_contain_text("says no hour and no day")
    page.get_by_label("Your hours").fill("Mon-Fri 18:00-22:00\nSat, Sun 8:00-22:00\nquiet 21:00-7:00")
    page.get_by_role("button", name="Show me two weeks of it").click()
    expect(page.locator(".rows.home > li")).to_have_count(14)
    expect(page.locator(".rows.home").first).to_contain_text("18:00 to 21:00")
    assert page.evaluate(FITS)
    assert not broken(page)
    page.get_by_role("button", name="Keep these hours").click()
    expect(page.get_by_text("These are written down.")).to_be_visible()
    page.goto(served("/kit"))
    expect(page.locator("main")).to_contain_text("quiet 21:00-7:00")


@pytest.mark.parametrize("size", [PHONE, DESKTOP])
def test_a_course_has_its_days_in_the_calendar(served, window, size):
    page = window(size)
    page.goto(served("/kit/hours?hours=18:00-22:00"))
    page.get_by_role("button", name="Keep these hours").click()
    page.goto(served(COURSE))
    page.get_by_role("link", name="Calendar", exact=True).click()
    expect(page.locator("main")).to_contain_text("Not begun yet.")
    expect(page.locator(".thing").first).to_be_visible()
    assert page.evaluate(FITS)
    assert not broken(page)
    columns = page.locator(".week").first.evaluate(
        "e => getComputedStyle(e).gridTemplateColumns.split(' ').length"
    )
    assert columns == (7 if size == DESKTOP else 1)
    if size == PHONE:
        assert page.locator(".week > .day.quiet").first.is_hidden()
    with page.expect_download() as taken:
        page.get_by_role("link", name="Into my own calendar").click()
    assert taken.value.suggested_filename == "t7.ics"
    page.get_by_role("link", name="Back to the course").click()
    page.get_by_role("button", name="Begin this course").click()
    page.get_by_role("link", name="Calendar of this course").click()
    expect(page.get_by_role("link", name="Tick steps")).to_be_visible()
    assert page.locator('.things .tick[aria-label="To do"]').count() > 3
