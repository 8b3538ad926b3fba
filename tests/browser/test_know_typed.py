"""What we know: found while it is typed, opened by keys, its figures behind a touch."""

from playwright.sync_api import expect

from .test_first_evening import heading


def test_a_thing_is_found_as_it_is_typed(phone, served):
    page = phone
    page.goto(served("/know"))
    page.get_by_label("Look something up").press_sequentially("neocar")
    found = page.get_by_role("link", name="Cherry shrimp")
    expect(found).to_be_visible()
    expect(page.get_by_label("Look something up")).to_have_value("neocar")
    found.focus()
    page.keyboard.press("Enter")
    expect(heading(page)).to_contain_text("Cherry shrimp")
    unknown = page.get_by_text("Not known of", exact=False).first
    unknown.click()
    expect(page.get_by_text("not known", exact=True).first).to_be_visible()
