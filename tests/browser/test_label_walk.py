"""A label typed on a phone: what is asked back, what is read back, and kept by thumb."""

from playwright.sync_api import expect

from .test_first_evening import SMALL, Thumb, heading


def test_a_label_by_thumb(phone, served):
    page = phone
    page.goto(served("/shelf"))
    thumb = Thumb(page)
    thumb.touch("link", "Add a packet")
    thumb.type("What do you call it?", "copper drops")
    thumb.choose("mL, a liquid")
    thumb.type("Active 1", "copper")
    page.locator("[name=amount-1]").fill("10 mg/mL")
    thumb.type("For how much water?", "40 L")
    assert page.evaluate(SMALL) == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    # Enter reads the label back, like the button; nothing is asked twice.
    page.locator("[name=amount-1]").press("Enter")
    expect(page.locator("[name=form-1]")).to_be_focused()
    page.locator("[name=form-1]").select_option("copper")
    thumb.touch("button", "Read it back to me")
    expect(heading(page)).to_contain_text("1 mL holds 39 mg of copper sulfate pentahydrate")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert not served.desk.room().shelf
    thumb.touch("button", "Put it on the shelf")
    expect(heading(page)).to_have_text("copper drops, as its label says")
    thumb.touch("button", "Thrown away")
    expect(heading(page)).to_have_text("copper drops: thrown away")
    thumb.touch("button", "Undo")
    expect(heading(page)).to_have_text("copper drops, as its label says")
    assert thumb.touches <= 12
