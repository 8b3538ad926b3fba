"""The walk up to the options as a keeper takes it: by thumb, by keys, without scripts, at night."""

import pytest
from playwright.sync_api import expect

from tankward.room.acts import Air
from tankward.room.entries.acts import Done
from tankward.room.entries.looks import Look

from .windows import DESKTOP, PHONE

SPOTS = (
    "/options?cause=white_spot&seen=white_spots&volume=58+L&animals=8+kuhli_loach+8cm;12+harlequin_rasbora+"
    "3.5cm;30+cherry_shrimp;moss&water=ammonia+0+mg/L+as+N,+nitrite+0+mg/L+as+N,+pH+7.0,+24C,+KH+4+dKH"
)
PAGES = (
    "/look",
    "/look?zone=all",
    "/ask?seen=lethargy",
    "/ask?at=belly_sunken",
    "/ask?at=fast_gills&beats=34",
    "/causes?seen=white_spots",
    SPOTS,
    "/now?untreated_tap=unsure&old_tank=yes",
)
NARROW = {"width": 320, "height": 640}


def answer(page, sign: str, how: str) -> None:
    """Touch one of the three answers of a sign."""
    page.get_by_role("group", name=sign).get_by_role("radio", name=how).check(force=True)


def touch(page, word: str) -> None:
    """Touch a word beside the fish; it is drawn once for each width, and shown once."""
    page.locator(".plate-word:visible", has_text=word).click()


def walk(page, served) -> None:
    """From the fish to what can be done, in the tank of thin fish."""
    page.goto(served("/tanks/T7/look"))
    touch(page, "Vent")
    answer(page, "White stringy droppings", "Seen")
    answer(page, "Red threads at the vent", "Not there")
    touch(page, "Belly")
    answer(page, "Sunken belly", "Seen")
    page.get_by_role("button", name="What may it be?").last.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("It may be")
    page.get_by_role("link", name="Gut flagellates").first.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("etronidazole in the food")


def test_by_thumb_from_the_fish_to_what_can_be_done(phone, served):
    walk(phone, served)
    look = served.desk.entries()[-1]
    assert isinstance(look, Look)
    assert set(look.seen) == {"white_stringy_faeces", "belly_sunken"}
    assert look.absent == ("worms_at_vent",)


def test_the_same_without_scripts(window, served):
    walk(window(DESKTOP, scripts=False), served)
    assert isinstance(served.desk.entries()[-1], Look)


def test_the_place_itself_can_be_touched(desktop, served):
    desktop.goto(served("/look"))
    desktop.locator(".view:visible .zone[data-for]").nth(0).click(force=True)
    assert "zone=" in desktop.url


def test_by_keys_a_place_an_answer_and_the_end(desktop, served):
    desktop.goto(served("/look"))
    desktop.locator(".plate-word:visible", has_text="Gills").focus()
    desktop.keyboard.press("Enter")
    group = desktop.get_by_role("group", name="Gills pink to white")
    group.get_by_role("radio", name="Seen").focus()
    desktop.keyboard.press("Space")
    desktop.keyboard.press("ArrowRight")
    expect(group.get_by_role("radio", name="Not there")).to_be_checked()
    desktop.keyboard.press("ArrowLeft")
    expect(group.get_by_role("radio", name="Seen")).to_be_checked()
    desktop.get_by_role("button", name="What may it be?").focus()
    desktop.keyboard.press("Enter")
    expect(desktop.get_by_role("heading", name="The look that tells most")).to_be_visible()


def test_what_was_touched_in_one_place_stays_when_another_is_touched(phone, served):
    phone.goto(served("/look"))
    answer(phone, "Sunken belly", "Seen")
    touch(phone, "Eyes")
    answer(phone, "Cloudy eye", "Don't know")
    touch(phone, "Belly")
    expect(phone.get_by_role("group", name="Sunken belly").get_by_role("radio", name="Seen")).to_be_checked()
    touch(phone, "Eyes")
    unsure = phone.get_by_role("group", name="Cloudy eye").get_by_role("radio", name="Don't know")
    expect(unsure).to_be_checked()


def test_gasping_leads_to_the_next_ten_minutes_in_one_touch_at_night(phone_at_night, served):
    page = phone_at_night
    page.goto(served("/tanks/T2/look"))
    page.get_by_role("link", name="They gasp, or lie on their side").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Air now. Nothing more goes in.")
    expect(page.get_by_role("navigation", name="Places")).to_have_count(0)
    page.get_by_role("button", name="Air, full on. Done?").click()
    tap = page.get_by_role("group", name="Fresh tap water today, perhaps without dechlorinator?")
    tap.get_by_role("button", name="Don't know").click()
    expect(page.get_by_text("1.4 g of thiosulfate for the whole tank")).to_be_visible()
    page.get_by_role("group", name="Last big change over two months ago?").get_by_role(
        "button", name="No", exact=True
    ).click()
    expect(page.get_by_text(" L in.")).to_be_visible()
    expect(page.get_by_text("Look again at 21:12.")).to_be_visible()
    page.get_by_role("button", name="Write down what is ticked").click()
    last = served.desk.entries()[-1]
    assert isinstance(last, Done)
    assert last.act == Air(more=True)


@pytest.mark.parametrize("size", [NARROW, PHONE, DESKTOP], ids=["320", "390", "1280"])
def test_no_page_scrolls_sideways(window, served, size):
    page = window(size)
    for path in PAGES:
        page.goto(served(path))
        over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert over <= 0, path


def test_what_is_touched_is_48_pixels_high(phone, served):
    for path in PAGES:
        phone.goto(served(path))
        heights = phone.evaluate(
            "[...document.querySelectorAll('.choices label, a.button, button.button, .plate-word, select')]"
            ".map(e => e.getBoundingClientRect()).filter(r => r.width).map(r => r.height)"
        )
        assert heights, path
        assert min(heights) >= 47.5, path


def test_who_dies_has_its_mark_and_word_beside_the_name(desktop, served):
    desktop.goto(served(SPOTS))
    copper = desktop.locator(".ruled-out > li", has_text="Copper sulfate")
    expect(copper.locator(".marked.danger", has_text="dies")).to_be_visible()
    expect(copper.get_by_text("cherry shrimp", exact=True)).to_be_visible()
