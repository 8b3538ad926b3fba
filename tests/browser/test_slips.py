"""Slips by thumb and by mouse: danger first, each told in two touches from the mistake page, taken back."""

import re
from contextlib import contextmanager

import pytest
from playwright.sync_api import expect

from tankward.desk.desk import Desk
from tankward.room.acts import Change, Dose, Feed, Heat, Lost, Media, PowerCut
from tankward.room.entries.acts import Done, StepSkipped
from tankward.room.entries.animals import StockAdded
from tankward.room.entries.corrections import Undone
from tests.desk.slipped import ago, change_step, course, dose_step, feed_step

from .axe import broken
from .conftest import Served, serving
from .windows import DESKTOP, PHONE

# Two tanks, a dose and a change of today, a course with a dose and a change that are late, a medicated meal.
ROOM = """
1 May 2026 08:00  tank  T7  volume="35 L" temp=25C filter=sponge
1 May 2026 08:01  stock T7  kind=neon_rainbow name="dwarf rainbowfish" number=10 length=4cm
1 May 2026 08:02  stock T7  kind=amano_shrimp name="amano shrimp" number=8
1 May 2026 08:10  tank  T2  volume="45 L" temp=28C filter=sponge
1 May 2026 08:11  stock T2  kind=guppy name=guppies number=22 length=2cm
1 May 2026 08:20  supply sachet unit=sachet metronidazole="200 mg" left=9
12 May 2026 18:00 change T7 share=50% dechlorinated=yes
12 May 2026 18:30 dose  T7  supply=sachet units=0.5 metronidazole=100mg
12 May 2026 18:40 feed  T7  food="0.4 g" metronidazole="2 mg/g"
12 May 2026 20:00 reading T7 ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.4 temp=25C
"""
STEPS = (change_step("x", ago(3)), dose_step("d", ago(3)), feed_step("f", ago(-20)))


@contextmanager
def laid(folder):
    """A room in which all of that can go wrong."""
    with serving(folder, ROOM) as room:
        room.desk.append(course(*STEPS))
        yield room


@pytest.fixture
def slipping(tmp_path):
    """For what stays written down."""
    with laid(tmp_path / "room") as room:
        yield room


@pytest.fixture(scope="module")
def taken_back(tmp_path_factory):
    """For what every test takes back: one room for all."""
    with laid(tmp_path_factory.mktemp("slips") / "room") as room:
        yield room


def entries(room: Served) -> dict:
    """Every entry ever kept, by its id; of an act done the act."""
    return {e.id: e.act if isinstance(e, Done) else e for e in Desk.open(room.folder).entries()}


def standing(room: Served) -> set[str]:
    return {e.id for e in Desk.open(room.folder).room().log if not isinstance(e, Undone)}


def is_a(kind, **fields):
    return lambda found: any(
        isinstance(x, kind) and all(getattr(x, k) == v for k, v in fields.items()) for x in found
    )


# Each slip: the touches after the mistake page of the tank, and what must stand in the log then.
SLIPS = {
    "late": (["Forgot one, or was late", "Given, just now"], is_a(Change)),
    "missed": (["Forgot one, or was late", "Leave it out"], is_a(StepSkipped)),
    "doubled": (["Gave too much", "It went in twice"], is_a(Dose, units=0.5)),
    "whole packet": (["Gave too much", "A whole sachet"], is_a(Dose, units=1.0)),
    "ten times": (["Gave too much", "Ten times as much"], is_a(Dose, units=5.0)),
    "tablespoon": (["Gave too much", "A tablespoon for a teaspoon"], is_a(Dose, units=1.5)),
    "imperial": (["Gave too much", "For imperial gallons, not US"], is_a(Dose, units=0.6)),
    "spilled": (["Gave too much", "About half of it went in"], is_a(Dose, units=0.25)),
    "nothing": (["Gave too much", "None of it went in"], is_a(Undone)),
    "wrong tank": (["Wrong tank", "T2"], is_a(Dose, units=0.5)),
    "carbon": (["Carbon was in", "It is still in"], is_a(Media, into=True)),
    "stuck": (["Something else", "The heater stuck: 31 °C"], is_a(Heat, temp_c=31.0)),
    "cold": (["Something else", "The heater gave up: 19 °C"], is_a(PowerCut, off="heater")),
    "power": (["Something else", "Power cut: Still off"], is_a(PowerCut, off="all", hours=None)),
    "filter": (
        ["Something else", "The filter stood still: 3 hours"],
        is_a(PowerCut, off="filter", hours=3.0),
    ),
    "change left out": (
        ["Something else", "Water change forgotten: Leave it out"],
        is_a(StepSkipped, step="x"),
    ),
    "large change": (["Something else", "Nearly all"], is_a(Change, share=0.95)),
    "cold water": (["Something else", "The new water was too cold: 10 °C"], is_a(Change, temp_c=15.0)),
    "newcomer": (["Something else", "One of the amano shrimp"], is_a(StockAdded)),
    "unknown": (["Something else", "Another kind"], is_a(StockAdded)),
    "spat out": (["Something else", "All of it; it is out"], is_a(Feed, food_g=0.0)),
    "tap": (["Something else", "The one of today 18:00"], is_a(Change, dechlorinated=False)),
    "ran out": (["Something else", "Water ran out: Half"], is_a(Lost, share=0.5)),
}


def touch(page, name: str) -> None:
    """One touch: a row, or a button, of its group where two have the same words."""
    group, _, words = name.rpartition(": ")
    inside = page.get_by_role("group", name=group, exact=True) if group else page.locator("main")
    target = inside.get_by_role("button", name=words).or_(inside.get_by_role("link", name=words, exact=True))
    target.first.click()


SIZES = [(name, PHONE) for name in SLIPS] + [(name, DESKTOP) for name in ("doubled", "carbon", "power")]


@pytest.mark.parametrize(("name", "size"), SIZES, ids=[f"{n} {s['width']}" for n, s in SIZES])
def test_each_slip_takes_two_touches_and_undo_takes_it_back(window, taken_back, name, size):
    touches, kept = SLIPS[name]
    assert len(touches) == 2
    before, as_it_was = entries(taken_back), standing(taken_back)
    page = window(size)
    page.goto(taken_back("/tanks/t7/mistake"))
    for word in touches:
        touch(page, word)
    page.wait_for_url("**/after**")
    new = [e for i, e in entries(taken_back).items() if i not in before]
    assert kept(new), new
    expect(page.locator("ul.acts li.row").first).to_be_visible()
    page.get_by_role("button", name="Undo", exact=True).last.click()
    page.wait_for_url(re.compile(r"/tanks/t\d\?"))
    assert standing(taken_back) == as_it_was


@pytest.mark.parametrize("night", [False, True], ids=["day", "night"])
def test_danger_stands_first_on_every_page_of_a_slip(window, slipping, night):
    page = window(PHONE, night=night)
    for path in ("", "/too-much", "/something-else", "/forgot-one"):
        page.goto(slipping(f"/tanks/t7/mistake{path}"))
        first = page.locator("main a, main button").first
        expect(first).to_have_text("They gasp, roll or lie down")


def test_an_overdose_shows_the_danger_and_its_changes_one_by_one(phone, slipping):
    phone.goto(slipping("/tanks/t7/mistake"))
    touch(phone, "Gave too much")
    touch(phone, "Ten times as much")
    acts = phone.locator("ul.acts li.row .rowhead")
    expect(acts.nth(2)).to_contain_text("18 L out, 18 L in.")
    words = phone.locator("main").inner_text().partition("\n1\n")[2]
    assert words.index("Nothing more goes in.") < words.index("18 L out") < words.index("In the water now")
    assert "Heater's plug out first" in words
    assert "thiosulfate into it first" in words


def test_a_change_that_is_ticked_leaves_fewer_to_do(phone, slipping):
    phone.goto(slipping("/tanks/t7/mistake"))
    touch(phone, "Gave too much")
    touch(phone, "Ten times as much")
    before = phone.locator("ul.acts .rowhead", has_text=" L out, ").count()
    phone.get_by_role("button", name="18 L out, 18 L in. Done?").first.click()
    expect(phone.locator(".kept")).to_contain_text("Half of the water changed")
    assert phone.locator("ul.acts .rowhead", has_text=" L out, ").count() == before - 1
    assert is_a(Change, share=0.5, dechlorinated=True)(entries(slipping).values())


def test_water_that_ran_out_begins_with_the_plugs(phone, slipping):
    phone.goto(slipping("/tanks/t7/mistake/something-else"))
    touch(phone, "Water ran out: Three quarters")
    expect(phone.locator("ul.acts .rowhead").first).to_contain_text("Heater and filter off")
    expect(phone.locator("ul.acts .marked.danger").first).to_be_visible()


def test_without_power_the_others_follow_beside_the_page(desktop, slipping):
    desktop.goto(slipping("/tanks/t7/mistake/something-else"))
    touch(desktop, "Power cut: Still off")
    expect(desktop.locator("ul.acts .rowhead").first).to_contain_text("Air by hand.")
    expect(desktop.locator("#first")).to_contain_text("T2", timeout=60_000)
    desktop.get_by_role("button", name="It is off in all of them: write it down").click()
    expect(desktop.locator(".kept")).to_contain_text("Power off")
    assert is_a(PowerCut, off="all")([a for _, a in Desk.open(slipping.folder).room().acts("t2")])


def test_more_can_be_said_and_the_words_stay(phone, slipping):
    phone.goto(slipping("/tanks/t7/mistake/too-much"))
    phone.get_by_text("Otherwise, or at another time").click()
    phone.locator("label", has_text="More went in than it says").click()
    expect(phone.get_by_role("radio", name="More went in than it says")).to_be_checked()
    phone.get_by_label("How much really went in, if it was more?").fill("a lot")
    phone.get_by_role("button", name="What to do now", exact=True).click()
    expect(phone.get_by_label("How much really went in, if it was more?")).to_have_value("a lot")
    expect(phone.locator(".field.wrong")).to_be_visible()


def test_every_target_is_large_enough_for_a_wet_thumb(phone, slipping):
    for path in ("", "/too-much", "/something-else", "/wrong-tank", "/too-much/after"):
        phone.goto(slipping(f"/tanks/t7/mistake{path}"))
        small = phone.evaluate(
            """() => [...document.querySelectorAll('main :is(button, a.act, .slip-more, .row a.whole)')]
            .filter((e) => e.offsetParent)
            .filter((e) => (e.closest('.row.way') || e).getBoundingClientRect().height < 47.5)
            .map((e) => e.textContent)"""
        )
        assert small == [], path


@pytest.mark.parametrize(("size", "night"), [(PHONE, False), (PHONE, True), (DESKTOP, True)])
def test_axe_finds_nothing_on_the_pages_of_a_slip(window, slipping, size, night):
    page, found = window(size, night=night), {}
    paths = ("", "/too-much", "/forgot-one", "/carbon-in", "/wrong-tank", "/something-else", "/newcomer",
             "/too-much/after", "/carbon-in/after", "/forgot-one/after", "/too-warm/after")  # fmt: skip
    for path in paths:
        page.goto(slipping(f"/tanks/t7/mistake{path}"))
        if broke := broken(page):
            found[path] = broke
    page.goto(slipping("/tanks/t2/now"))
    assert broken(page) == []
    assert found == {}


@pytest.mark.parametrize("path", ["/too-much", "/something-else", "/too-much/after"])
def test_no_page_of_a_slip_scrolls_sideways_at_320_px(window, slipping, path):
    page = window({"width": 320, "height": 640})
    page.goto(slipping(f"/tanks/t7/mistake{path}"))
    assert page.evaluate("document.documentElement.scrollWidth") <= 320


def test_without_scripts_the_same_two_touches_do(window, slipping):
    page = window(PHONE, scripts=False)
    page.goto(slipping("/tanks/t7/mistake"))
    touch(page, "Something else")
    touch(page, "Power cut: 3 hours")
    assert is_a(PowerCut, hours=3.0, off="all")(entries(slipping).values())
