"""The first evening by thumb and by keys, touches counted: a first answer, a first tank, an undo."""

import re
import time

import pytest
from playwright.sync_api import expect

from tankward.room.acts import Change

from .windows import DESKTOP, PHONE

NARROW = {"width": 320, "height": 640}
PAGES = (
    "/", "/tanks/new", "/tanks/new?step=size&go=skip", "/tanks/new?step=who&go=rest", "/tanks/new?go=all",
    "/tanks/list", "/settings", "/several", "/several/change", "/find", "/mistake",
)  # fmt: skip
OF_A_ROOM = (
    "/tanks/alike?like=t7", "/tanks/t7/mistake", "/tanks/t7/mistake/too-much", "/tanks/t7/mistake/carbon-in",
    "/tanks/t7/mistake/something-else",
    "/tanks/t7/log", "/find?words=today", "/several/dose",
)  # fmt: skip


# What can be touched and is lower than 48 px, with its name.
SMALL = """() => [...document.querySelectorAll('main :is(button, input, select, textarea, a.act)')]
  .filter((e) => e.offsetParent && !e.closest('.unseen') && e.type !== 'hidden')
  .map((e) => [e.textContent || e.name, (e.closest('label') || e).getBoundingClientRect().height])
  .filter(([, high]) => high < 47.5)
  .map(([name, high]) => `${name.trim()}: ${high}`)"""


class Thumb:
    """Touches and types, and counts the touches; a field that is typed into was touched once."""

    def __init__(self, page) -> None:
        self.page, self.touches = page, 0

    def touch(self, role: str, name: str) -> None:
        self.touches += 1
        self.page.get_by_role(role, name=name).first.click()

    def type(self, label: str, text: str) -> None:
        self.touches += 1
        self.page.get_by_label(label, exact=True).fill(text)

    def choose(self, name: str) -> None:
        self.touches += 1
        self.page.get_by_role("radio", name=name, exact=True).check(force=True)


def heading(page):
    return page.get_by_role("heading", level=1)


def first_tank(page, room) -> Thumb:
    """From the empty room to a tank with its animals and its filter."""
    page.goto(room("/"))
    thumb = Thumb(page)
    thumb.touch("link", "Describe the first tank")
    thumb.type("Long", "45")
    thumb.type("Deep", "28")
    thumb.type("Water, high", "25")
    return thumb


def who_and_filter(thumb: Thumb) -> None:
    expect(heading(thumb.page)).to_have_text("Who lives in T1?")
    thumb.type("How many?", "14")
    thumb.type("Which animal or plant?", "dwarf rainbowfish")
    thumb.touch("button", "Next: filter and warmth")
    thumb.choose("Sponge")
    thumb.type("How warm?", "25")
    thumb.touch("button", "Add T1: 32 L, 14 dwarf rainbowfish")


def is_kept(page, room) -> None:
    expect(page.get_by_role("status").first).to_contain_text(
        "T1 is in the room now, with 14 dwarf rainbowfish."
    )
    now = room.desk.room()
    tank = now.tanks["t1"]
    assert (tank.length_cm, tank.width_cm, tank.fill_cm, tank.filter) == (45, 28, 25, "sponge")
    assert [(s.kind, s.number.value) for s in now.stock_of("t1")] == [("neon_rainbow", 14)]


def test_a_first_tank_by_thumb(phone, empty):
    """The tank is drawn as it is typed: the button speaks without being touched."""
    begun = time.monotonic()
    thumb = first_tank(phone, empty)
    expect(phone.get_by_role("button", name="32 L. Next: who lives there")).to_be_visible()
    thumb.touch("button", "32 L. Next: who lives there")
    who_and_filter(thumb)
    is_kept(phone, empty)
    assert thumb.touches <= 12
    # Two minutes for a person; the pages may take a tenth of it.
    assert time.monotonic() - begun < 60


def test_the_same_without_scripts(window, empty):
    """One touch more: the first shows what was understood, the second goes on."""
    page = window(PHONE, scripts=False)
    thumb = first_tank(page, empty)
    thumb.touch("button", "How much does it hold?")
    thumb.touch("button", "32 L. Next: who lives there")
    who_and_filter(thumb)
    is_kept(page, empty)


def test_by_keys_alone(desktop, empty):
    desktop.goto(empty("/tanks/new"))
    desktop.get_by_label("Long", exact=True).focus()
    for text in ("45", "28", "25"):
        desktop.keyboard.type(text)
        desktop.keyboard.press("Tab")
    expect(desktop.get_by_role("button", name="32 L. Next: who lives there")).to_be_visible()
    desktop.get_by_label("Water, high").press("Enter")
    expect(heading(desktop)).to_have_text("Who lives in T1?")


def test_a_first_answer_before_any_tank(phone, empty):
    """From the empty room to what it may be, in five touches."""
    phone.goto(empty("/"))
    thumb = Thumb(phone)
    thumb.touch("link", "Something's off")
    thumb.touches += 1
    phone.locator(".plate-word:visible", has_text="Belly").click()
    thumb.touches += 1
    phone.get_by_role("group", name="Sunken belly").get_by_role("radio", name="Seen").check(force=True)
    thumb.touches += 1
    phone.get_by_role("button", name="What may it be?").last.click()
    expect(heading(phone)).to_be_visible()
    assert "/causes" in phone.url
    assert thumb.touches <= 5
    assert empty.desk.entries() == []


def change_half(page, served) -> None:
    page.goto(served("/tanks/t7/log/change"))
    page.get_by_label("How much of the water?").fill("50 %")
    page.get_by_role("button", name="Write it down").click()


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_an_entry_is_taken_back_and_put_back(window, served, scripts):
    page = window(PHONE, scripts=scripts)
    change_half(page, served)
    line = page.locator(".kept")
    expect(line).to_contain_text("Half of the water changed")
    line.get_by_role("button", name="Undo").click()
    expect(page.locator(".kept")).to_contain_text("Taken back")
    assert served.desk.room().acts("t7") == []
    page.locator(".kept").get_by_role("button", name="Put it back").click()
    expect(page.locator(".kept")).to_contain_text("Put back")
    assert [a for _, a in served.desk.room().acts("t7")] == [Change(share=0.5)]


def test_an_entry_is_put_right_by_thumb(phone, served):
    change_half(phone, served)
    phone.locator(".kept").get_by_role("link", name="See the entry").click()
    phone.get_by_label("How much of the water?").fill("25 %")
    phone.get_by_role("button", name="Put it right").click()
    expect(phone.locator(".kept")).to_contain_text("Put right")
    assert [a for _, a in served.desk.room().acts("t7")] == [Change(share=0.25)]


def test_a_slip_is_told_in_three_touches(phone, served):
    """One touch from everywhere, then the slip, then how long: the next page says what to do now."""
    phone.goto(served("/tanks/t7/log"))
    thumb = Thumb(phone)
    thumb.touch("link", "I made a mistake")
    thumb.touch("link", "Something else")
    thumb.touch("button", "Still off")
    expect(phone.get_by_text("Air by hand.")).to_be_visible()
    assert thumb.touches == 3
    assert re.search(r"/tanks/t7/mistake/no-flow/after", phone.url)


def test_half_in_several_tanks_by_thumb(phone, served):
    phone.goto(served("/several/change"))
    phone.get_by_role("checkbox", name="T2").check(force=True)
    phone.get_by_role("checkbox", name="T7").check(force=True)
    phone.get_by_label("How much of the water?").fill("50 %")
    phone.get_by_role("button", name="Write it down for all of them").click()
    expect(phone.locator(".kept")).to_contain_text("Written down in T2 and T7: Half of the water changed.")
    room = served.desk.room()
    assert [len(room.acts(t)) for t in ("t2", "t7")] == [1, 1]


@pytest.mark.parametrize("size", [PHONE, DESKTOP, NARROW], ids=["phone", "desktop", "narrow"])
@pytest.mark.parametrize("night", [False, True], ids=["day", "night"])
def test_no_page_is_wider_than_its_window(window, served, size, night):
    page = window(size, night=night)
    for url in (*PAGES, *OF_A_ROOM):
        page.goto(served(url))
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= size["width"], (url, wide)


@pytest.mark.parametrize("url", [*PAGES, *OF_A_ROOM])
def test_what_is_touched_is_large_enough(phone, served, url):
    """48 px at least, for buttons, fields and links that stand alone."""
    phone.goto(served(url))
    small = phone.evaluate(SMALL)
    assert small == []
