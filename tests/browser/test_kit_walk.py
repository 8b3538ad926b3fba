"""A spoon weighed by thumb, one question at a time, and seen in an amount."""

from playwright.sync_api import expect

from .windows import PHONE

ANSWERS = (
    ("Which spoon?", "blue scoop"), ("Which powder?", "salt"),
    ("How many level spoons went into the cup?", "10"), ("What do they weigh together?", "58"),
)  # fmt: skip


def test_a_spoon_weighed_once_stands_in_an_amount(served, window):
    page = window(PHONE)
    page.goto(served("/more"))
    page.get_by_role("link", name="Kit", exact=True).click()
    page.get_by_role("link", name="Weigh a spoon").click()
    for label, text in ANSWERS:
        page.get_by_label(label, exact=True).fill(text)
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
        page.get_by_role("button", name="Next").click()
    page.get_by_label("What is the step of your scale?").fill("0.1")
    page.get_by_role("button", name="What does it come to?").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("One level blue scoop holds 5.8 g")
    page.get_by_role("button", name="Write it down").click()
    expect(page.get_by_text("blue scoop: 5.8 g of sodium chloride")).to_be_visible()
    page.goto(served("/tanks/t2/course?substance=sodium_chloride&route=water_bath&cause=white_spot"))
    expect(page.locator("main")).to_contain_text("level blue scoops")
