"""Something looks wrong, up to what can be done, on a phone: by keys alone, back and forth, read by ear."""

import itertools
import re

from playwright.sync_api import expect

from .axe import broken

KEYS_AT_MOST = 150  # touches of Tab up to one control: nobody gets lost
FOCUSED = """() => {
  const at = document.activeElement;
  const group = at.closest("fieldset")?.querySelector("legend b")?.textContent ?? "";
  const own = at.getAttribute("aria-label") || at.labels?.[0]?.textContent || at.textContent || "";
  return [group.trim(), own.trim()];
}"""
HEADINGS = "[...document.querySelectorAll('h1,h2,h3,h4')].map(h => Number(h.tagName[1]))"


def tab_to(page, words: str, group: str = "") -> None:
    """Tab on until a control of that name has the focus; it must be seen to have it."""
    for _ in range(KEYS_AT_MOST):
        page.keyboard.press("Tab")
        at, own = page.evaluate(FOCUSED)
        if own.startswith(words) and at.startswith(group):
            return
    raise AssertionError(f"no way by Tab to {words} of {group}")


def h1(page):
    return page.get_by_role("heading", level=1)


def test_by_keys_alone_from_something_looks_wrong_to_what_can_be_done(phone, served):
    page = phone
    page.goto(served("/tanks/T7/look"))
    tab_to(page, "Vent")
    page.keyboard.press("Enter")
    expect(page.get_by_role("group", name="White stringy droppings")).to_be_visible()
    tab_to(page, "Seen", "White stringy droppings")
    page.keyboard.press("Space")
    tab_to(page, "Don't know where? Be asked")
    page.keyboard.press("Enter")
    expect(page.get_by_text("Question 1 of at most 12.")).to_be_visible()
    expect(page.get_by_role("heading", name="So far")).to_be_visible()
    for number in (2, 3):
        first = h1(page).text_content()
        tab_to(page, "Don't know")
        page.keyboard.press("Enter")
        expect(page.get_by_text(f"Question {number} of at most 12.")).to_be_visible()
        assert h1(page).text_content() != first
    tab_to(page, "Enough. What may it be?")
    page.keyboard.press("Enter")
    expect(h1(page)).to_contain_text("ay be")
    assert "white_stringy_faeces" in served.desk.entries()[-1].seen
    tab_to(page, "Gut flagellates")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Ruled out here")).to_be_visible()


def test_back_with_the_browsers_own_button_loses_nothing(phone, served):
    page = phone
    page.goto(served("/look"))
    page.get_by_role("group", name="Sunken belly").get_by_role("radio", name="Seen").check(force=True)
    page.locator(".plate-word:visible", has_text="Eyes").click()
    page.get_by_role("group", name="Cloudy eye").get_by_role("radio", name="Not there").check(force=True)
    page.go_back()
    sunken = page.get_by_role("group", name="Sunken belly").get_by_role("radio", name="Seen")
    expect(sunken).to_be_checked()
    page.locator(".plate-word:visible", has_text="Eyes").click()
    cloudy = page.get_by_role("group", name="Cloudy eye").get_by_role("radio", name="Not there")
    expect(cloudy).to_be_checked()


def test_back_while_being_asked_keeps_the_answers_given_since(phone, served):
    page = phone
    page.goto(served("/ask?seen=lethargy&at=flashing"))
    page.get_by_role("button", name="Not there").click()
    expect(page.get_by_text("Question 2 of at most 12.")).to_be_visible()
    page.get_by_role("button", name="Don't know").click()
    expect(page.get_by_text("Question 3 of at most 12.")).to_be_visible()
    third = h1(page).text_content()
    page.go_back()
    page.wait_for_url(re.compile("asked=flashing(,|%2C)"))  # the older page knows what was asked since
    page.go_back()
    expect(h1(page)).to_have_text("Rubbing on things?")
    expect(page.get_by_role("button", name="Not there")).to_have_attribute("aria-pressed", "true")
    page.get_by_role("button", name="Keep it so, go on").click()
    expect(h1(page)).to_have_text(third)


def test_gill_beats_are_tapped_along_by_keys_and_said_as_beats_a_minute(phone, served):
    page = phone
    page.clock.install()
    page.goto(served("/ask?at=fast_gills&seen=lethargy"))
    tap = page.get_by_role("button", name=re.compile("^Tap at each gill beat.*breathes worst"))
    tap.focus()
    for _ in range(31):
        page.keyboard.press("Space")
        page.clock.run_for(400)
    page.clock.run_for(3_000)
    said = page.locator("#tap-beats-says")
    expect(said).to_have_text("30 beats in 15 seconds: 120 a minute.")
    expect(said).to_have_attribute("role", "status")
    expect(page.locator("#f-beats")).to_have_value("30")
    page.get_by_role("button", name="Next").last.click()
    assert "beats=30" in page.url


def test_without_scripts_the_field_alone_counts(window, served):
    page = window(scripts=False)
    page.goto(served("/ask?at=fast_gills&seen=lethargy"))
    expect(page.get_by_role("button", name="Tap at each gill beat")).to_have_count(0)
    page.get_by_label("The one that breathes worst").fill("34")
    page.get_by_role("button", name="Enough. What may it be?").click()
    expect(page.get_by_text("136 gill beats a minute")).to_be_visible()


def test_signs_are_found_as_the_word_is_typed_and_the_number_is_read_out(phone, served):
    page = phone
    page.goto(served("/look"))
    page.get_by_role("group", name="Sunken belly").get_by_role("radio", name="Seen").check(force=True)
    page.get_by_label("Or type what you see").press_sequentially("clamp")
    expect(page.locator("#find-says")).to_contain_text("below: Clamped fins")
    expect(page.locator("#find-says")).to_have_attribute("role", "status")
    page.get_by_role("group", name="Clamped fins").get_by_role("radio", name="Seen").check(force=True)
    page.get_by_role("button", name="What may it be?").click()
    expect(page.get_by_text("Seen. ")).to_be_visible()
    assert "belly_sunken" in page.url and "clamped_fins" in page.url


def test_read_by_ear_the_finding_comes_first_and_every_picture_has_a_name(phone, served):
    for path in (
        "/tanks/T7/look?zone=gills",
        "/ask?at=belly_sunken&seen=lethargy",
        "/causes?seen=white_spots",
    ):
        phone.goto(served(path))
        levels = phone.evaluate(HEADINGS)
        assert levels[0] == 1 and levels.count(1) == 1, path
        assert all(b - a <= 1 for a, b in itertools.pairwise(levels)), (path, levels)
        nameless = phone.evaluate(
            "[...document.querySelectorAll('svg')].filter(s => !s.closest('[aria-hidden=true]') "
            "&& !s.querySelector(':scope > title')?.textContent.trim()).length"
        )
        assert nameless == 0, path
        jumps = phone.evaluate(
            "[...document.querySelectorAll('[tabindex]')].filter(e => e.tabIndex > 0).length"
        )
        assert jumps == 0, path
        assert broken(phone) == [], path


def test_on_the_page_of_causes_the_water_comes_before_the_causes_and_the_next_look_after(phone, served):
    phone.goto(served("/causes?seen=white_spots"))
    words = phone.get_by_role("main").inner_text()
    parts = (
        "Not certain", "The water is not known", "White spot\n", "not on this list",
        "The look that tells most", "What was told", "See a veterinarian",
    )  # fmt: skip
    order = [words.index(part) for part in parts]
    assert order == sorted(order)
