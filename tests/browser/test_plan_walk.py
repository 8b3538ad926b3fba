"""A plan by thumb and beside a keyboard: chosen, begun, a slip taken, looked at, closed; and set by hand."""

import re

import pytest
from playwright.sync_api import expect

from tankward.model.run import warm
from tankward.room.entries.acts import CourseBegun
from tankward.room.entries.ends import CourseClosed
from tests.browser.axe import broken
from tests.browser.conftest import serving
from tests.browser.windows import DESKTOP, PHONE
from tests.web.planned_room import ROOM

PLAN = "/tanks/t8/plan?cause=white_spot"
HAND = "/tanks/t8/course/by-hand?substance=sodium_chloride&route=water_long&cause=white_spot"
LONG_MS = 300_000  # on a machine that does much else; nothing is asserted about it


@pytest.fixture(scope="module", autouse=True)
def compiled():
    """What a program that stays open has after its first minute."""
    warm(wait=True)


@pytest.fixture
def room(tmp_path):
    with serving(tmp_path / "room", ROOM) as served:
        yield served


@pytest.fixture(scope="module")
def planned(tmp_path_factory):
    """One room in which a plan is only looked at."""
    with serving(tmp_path_factory.mktemp("plan") / "room", ROOM) as served:
        yield served


def at_rest(page, url):
    """The page once nothing is being worked out any more."""
    page.goto(url)
    expect(page.locator("main[data-waits]")).to_have_count(0, timeout=LONG_MS)
    return page


def asked(page, room):
    """The wishes sent as they stand; then the courses."""
    page.goto(room(PLAN))
    page.get_by_role("button", name="Find the best courses").click()
    expect(page.locator("h1")).to_contain_text(re.compile("the best"), timeout=LONG_MS)
    return page


def found(page, room):
    """The plan with its drawings."""
    asked(page, room)
    expect(page.locator("h1")).not_to_contain_text("Looking for", timeout=LONG_MS)
    expect(page.locator("main[data-waits]")).to_have_count(0, timeout=LONG_MS)
    return page


def overflows(page) -> int:
    return page.evaluate("() => document.documentElement.scrollWidth - document.documentElement.clientWidth")


def entries(room, kind):
    with room.desk as desk:
        return [e for e in desk.entries() if isinstance(e, kind)]


@pytest.mark.parametrize("size", [PHONE, DESKTOP], ids=["phone", "desktop"])
def test_planned_chosen_begun_slipped_looked_at_and_closed(window, room, size):
    page = found(window(size), room)
    page.get_by_role("button", name=re.compile("^Use this plan: A")).click()
    page.wait_for_url(f"{room('/tanks/t8')}**")
    (begun,) = entries(room, CourseBegun)
    assert begun.steps and begun.cause == "white_spot"
    page.locator("a.mistake").first.click()
    page.get_by_role("link", name="Something else").click()
    page.get_by_role("button", name=re.compile("Power cut: 1 hour|^1 hour")).first.click()
    expect(page.locator("h1")).to_be_visible()
    at_rest(page, room("/tanks/t8/progress"))
    expect(page.locator("main")).to_contain_text("Count again")
    page.goto(room("/tanks/t8/close"))
    page.get_by_role("button", name=re.compile("^Don't know")).click()
    (closed,) = entries(room, CourseClosed)
    assert closed.course == begun.id


def test_the_courses_come_by_themselves_and_the_rest_of_the_page_stays(window, planned):
    page = asked(window(PHONE), planned)
    expect(page.locator(".one-plan").first).to_be_visible(timeout=LONG_MS)
    page.evaluate("window.stays = true")
    expect(page.locator(".one-plan .views svg").first).to_be_attached(timeout=LONG_MS)
    expect(page.locator("main[data-waits]")).to_have_count(0, timeout=LONG_MS)
    assert page.evaluate("window.stays") is True  # the drawings came in place
    assert page.locator(".one-plan input.reader").count() == page.locator(".one-plan .views").count()


def test_without_scripts_the_same_plan_stands_there(window, planned):
    at_rest(window(PHONE), planned(PLAN))
    found(window(PHONE), planned)  # it is searched once
    page = window(PHONE, scripts=False)
    page.goto(planned(PLAN))
    page.get_by_role("button", name="Find the best courses").click()
    expect(page.locator("h1")).to_contain_text("the best")
    assert page.locator(".one-plan").count() == page.locator(".one-plan .views").count() > 0
    assert page.get_by_role("button", name=re.compile("^Use this plan")).count() > 0


@pytest.mark.parametrize("night", [False, True], ids=["day", "night"])
@pytest.mark.parametrize("width", [320, 390, 1280])
def test_nothing_runs_out_of_the_side_and_no_rule_is_broken(window, planned, width, night):
    page = found(window({"width": width, "height": 844}, night=night), planned)
    assert overflows(page) <= 0 and broken(page) == []
    page.evaluate("document.querySelectorAll('main details').forEach((fold) => { fold.open = true; })")
    assert overflows(page) <= 0 and broken(page) == []
    at_rest(page, planned(HAND))
    expect(page.locator("#checks")).not_to_have_attribute("data-pending", "", timeout=LONG_MS)
    assert overflows(page) <= 0 and broken(page) == []


def test_it_reads_in_its_order_and_by_keys_alone(window, planned):
    page = found(window(DESKTOP), planned)
    heads = page.locator("h1, h2, h3").all_inner_texts()
    letters = [h[0] for h in heads if re.match(r"[A-G]\. ", h)]
    assert letters == sorted(letters) and heads[0].startswith(("One", "Two", "Three", "Four", "Five"))
    for _ in range(200):
        page.keyboard.press("Tab")
        if page.evaluate("() => document.activeElement.textContent.trim()") == "Use this plan":
            break
    assert page.evaluate("() => getComputedStyle(document.activeElement).outlineWidth") == "3px"
    assert page.evaluate("() => document.activeElement.getAttribute('aria-label')").startswith(
        "Use this plan: A"
    )


def test_a_change_by_hand_is_judged_in_place(window, room):
    page = window(DESKTOP)
    page.goto(room(HAND))
    checks = page.locator("#checks")
    expect(checks).to_contain_text("of work in all", timeout=LONG_MS)
    page.evaluate("window.stays = true")
    before = checks.inner_text()
    page.get_by_label("Food, of the usual").fill("200 %")
    page.keyboard.press("Tab")
    expect(checks).not_to_have_text(before, timeout=LONG_MS)
    page.wait_for_url("**feed+200**", timeout=LONG_MS)
    assert page.evaluate("window.stays") is True
    dose = page.locator("input[value$=' g']").first
    dose.fill("lots")
    page.keyboard.press("Tab")
    expect(page.locator("[aria-invalid]")).to_be_focused(timeout=LONG_MS)
    expect(page.locator("[aria-invalid]")).to_have_value("lots")
