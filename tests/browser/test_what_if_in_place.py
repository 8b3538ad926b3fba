"""What if: with scripts its answer comes in place and is read out; without, the same stands on a new page."""

import time
from datetime import timedelta

import pytest
from playwright.sync_api import expect

from tankward.room.acts import Change, Dose
from tankward.room.entries.acts import CourseBegun, Step
from tests.browser.conftest import serving
from tests.browser.windows import PHONE
from tests.web.visitor import NOW

ROOM = """
1 May 2026 08:00  tank  T8  volume="21.7 L" temp=24C filter=sponge
1 May 2026 08:01  stock T8  kind=pearl_danio_celestial name=danios number=18 length=2.2cm
12 May 2026 20:00 reading T8  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.4 temp=24C
"""
SALT = CourseBegun(
    id="0198c0de-0000-7000-8000-000000000001", at=NOW - timedelta(minutes=5), tank="t8", name="salt",
    substance="sodium_chloride", route="water_long",
    steps=(
        Step(id="s1", at=NOW + timedelta(hours=21), act=Dose(actives={"sodium_chloride": 43400.0})),
        Step(id="s2", at=NOW + timedelta(hours=69), act=Change(share=0.3)),
    ),
)  # fmt: skip


@pytest.fixture
def address(tmp_path):
    with serving(tmp_path / "room", ROOM) as room:
        room.desk.append(SALT)
        yield room("/tanks/t8")


def settled(page, address):
    """The tank's page once its forecast is there."""
    for _ in range(120):
        page.goto(address)
        if not page.locator("main[data-waits]").count():
            return
        time.sleep(0.5)
    raise AssertionError("the page never came to rest")


def test_the_answer_comes_in_place_and_is_read_out(window, address):
    page = window(PHONE)
    settled(page, address)
    place = page.locator("#what-if-answer[role=status]")
    expect(place).to_have_count(1)  # there before it says anything, or it would not be read out
    page.evaluate("window.stays = true")
    for words, head in (
        ("Skip the next dose", "If the next dose is skipped"),
        ("Dose a day later", "If the next dose comes 24 hours later"),
        ("Change half each time", "If half is changed each time"),
    ):
        button = page.get_by_role("button", name=words)
        button.click()
        expect(place.get_by_role("heading")).to_have_text(head, timeout=60_000)
        expect(place).to_contain_text("Oxygen, lowest")
        expect(button).to_have_attribute("aria-pressed", "true")
        expect(page.locator("#what-if [aria-pressed]")).to_have_count(1)
        expect(button).to_be_focused()
    assert page.evaluate("window.stays") is True  # never loaded anew
    assert page.url.endswith("?if=more#what-if")


def test_without_scripts_the_answer_stands_on_the_next_page(window, address):
    page = window(PHONE, scripts=False)
    settled(page, address)
    page.get_by_role("button", name="Skip the next dose").click()
    place = page.locator("#what-if-answer")
    for _ in range(60):
        if place.get_by_text("Oxygen, lowest").count():
            break
        page.reload()
    expect(place.get_by_role("heading")).to_have_text("If the next dose is skipped")
    expect(place).to_contain_text("As planned")
    assert page.url.endswith("?if=skip#what-if")
