"""Is it helping, in a window: from the tank's page by thumb, on the desk, at night."""

import contextlib
import re

import pytest
from playwright.sync_api import expect

from tankward.model.run import warm
from tests.browser.axe import broken
from tests.browser.conftest import serving
from tests.browser.windows import DESKTOP, PHONE
from tests.judge.treated import FEWER, MORE, after, room_of
from tests.web.visitor import NOW

DAY = 11.0  # of the course; the app's clock stands an hour later
SICK = '11 May 2026 12:00 look T7 seen=on_side\n12 May 2026 18:00 look T7 seen="on_side; cotton_tufts"\n'
LINES = {"fewer": FEWER, "more": MORE + SICK}


@pytest.fixture(scope="module")
def rooms(tmp_path_factory):
    """One room in which it helps, one in which it does not."""
    warm(wait=True)  # as in a program that has been open for a while
    assert 0 <= (NOW - after(DAY)).total_seconds() < 7200
    with contextlib.ExitStack() as open_rooms:
        found = {}
        for name, lines in LINES.items():
            served = open_rooms.enter_context(serving(tmp_path_factory.mktemp(name) / "room"))
            served.desk.append(*room_of(lines, DAY).log)
            found[name] = served
        yield found


def fits(page, size) -> None:
    """Nothing hangs over the side."""
    assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]


def test_by_thumb_from_the_tank_to_the_verdict_and_back(window, rooms):
    page = window(PHONE)
    page.goto(rooms["fewer"]("/tanks/t7"))
    section = page.locator("#progress")
    expect(section).to_contain_text("Helping, by the counts since.", timeout=60_000)
    expect(section).to_contain_text("would still show rubbing on things if it is helping")
    section.get_by_role("link", name="Day by day, and when to stop").tap()
    heading = page.get_by_role("heading", level=1)
    expect(heading).to_have_text(
        "Helping, by the counts since. That does not say it is gone.", timeout=60_000
    )
    fits(page, PHONE)
    expect(page.get_by_role("heading", name="When to stop")).to_be_visible()
    chart = page.locator("svg[role=img]:visible").first
    assert chart.bounding_box()["width"] <= PHONE["width"]
    page.get_by_text("The same as a table").tap()
    expect(page.get_by_role("columnheader", name=re.compile("^If it is helping"))).to_be_visible()
    expect(page.get_by_role("cell", name="0, looked").first).to_be_visible()
    page.get_by_role("link", name="Back to T7").tap()
    expect(page).to_have_url(re.compile(r"/tanks/t7$"))


@pytest.mark.parametrize("night", [False, True], ids=["day", "night"])
def test_on_the_desk_why_it_fails_stands_beside_the_look_that_tells(window, rooms, night):
    page = window(DESKTOP, night=night)
    page.goto(rooms["more"]("/tanks/t7/progress"))
    expect(page.get_by_role("heading", level=1)).to_contain_text("Not helping", timeout=60_000)
    fits(page, DESKTOP)
    suffers = page.locator("#suffering")
    expect(suffers).to_contain_text("Ask a veterinarian first")
    reasons = page.locator("#failing li.row")
    expect(reasons.filter(has_text="It is another cause")).to_contain_text("a veterinarian would settle it")
    assert reasons.count() >= 6
    assert suffers.bounding_box()["y"] < reasons.first.bounding_box()["y"]
    assert broken(page) == []
    suffers.get_by_role("link", name="A humane end, step by step").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("humane end", ignore_case=True)


def test_the_phone_at_night_breaks_no_rule(window, rooms):
    page = window(PHONE, night=True)
    page.goto(rooms["more"]("/tanks/t7/progress"))
    expect(page.get_by_role("heading", level=1)).to_contain_text("Not helping", timeout=60_000)
    fits(page, PHONE)
    assert broken(page) == []
    small = page.evaluate(
        "[...document.querySelectorAll('main a.button, main a.act, main summary')]"
        ".filter(e => e.getClientRects().length && e.getBoundingClientRect().height < 44).length"
    )
    assert small == 0
