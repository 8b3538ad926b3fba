"""The demo in a window: five minutes by thumb, the surface at night, the sachet beside a keyboard."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.crawl import demo
from tests.show.pdf_pages import pages

SACHET = "course?substance=metronidazole&route=water_long&cause=hexamita&supply=gut+and+worm+sachet"
INVENTED = "Invented room, invented numbers."


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    """The demo as `tankward start --demo` opens it."""
    with demo(tmp_path_factory.mktemp("demo") / "room") as start:
        yield start.rstrip("/")


def test_five_minutes_by_thumb_are_ticked_as_they_are_opened(phone, address):
    phone.goto(f"{address}/today")
    phone.get_by_role("link", name="Five minutes with the demo").tap()
    expect(phone.get_by_role("img", name="Not opened yet")).to_have_count(7)
    phone.get_by_role("link", name="T7 has thin fish: look at one, sign by sign").tap()
    expect(phone).to_have_url(re.compile(r"/tanks/T7/look\?zone=belly"))
    expect(phone.get_by_text(INVENTED)).to_be_visible()
    phone.get_by_role("link", name="Five minutes with the demo").tap()
    expect(phone.get_by_role("img", name="Opened", exact=True)).to_have_count(1)
    expect(phone.get_by_role("heading", level=1)).to_have_text("6 more to see.")


def test_at_the_surface_at_night_air_is_the_first_line(phone_at_night, address):
    page = phone_at_night
    page.goto(f"{address}/tanks/T2/now")
    expect(page.get_by_role("heading", level=1)).to_have_text("Air now. Nothing more goes in.")
    first = page.get_by_text("Air, full on.").bounding_box()
    half = page.get_by_text(re.compile(r"\d+ L out, \d+ L in\.")).bounding_box()
    assert first["y"] < half["y"] < 844  # both without a touch, on one screen
    expect(page.locator("input[type=text], textarea, select")).to_have_count(0)
    expect(page.get_by_text(INVENTED)).to_be_visible()


def test_the_sachet_beside_a_keyboard_from_the_amount_to_the_sheet(desktop, address):
    desktop.goto(f"{address}/tanks/T7/{SACHET}")
    expect(desktop.get_by_text("of the 400 mL with one sachet stirred in")).to_be_visible()
    desktop.get_by_role("button", name="Begin this course").press("Enter")
    expect(desktop).to_have_url(re.compile("/tanks/T7"))
    expect(desktop.get_by_role("heading", name="Is it helping?")).to_be_visible()
    unsaid = desktop.get_by_text("Can't be said yet: it takes a count before it and one since.")
    expect(unsaid).to_be_visible(timeout=60_000)  # worked out beside it
    sheet = desktop.request.get(f"{address}/tanks/T7/sheet.pdf")
    assert sheet.headers["content-type"] == "application/pdf"
    told = pages(sheet.body())
    assert told and all("nvented" in one.text for one in told)
