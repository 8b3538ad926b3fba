"""Every kind of page by the rules of axe-core, on a phone and on a desk, by day and at night."""

from urllib.parse import urljoin

import pytest

from tests.browser.axe import broken
from tests.browser.crawl import BY_FORMS, crawl, demo
from tests.browser.windows import DESKTOP, PHONE

FEWEST = 100  # kinds of pages; fewer means that a link is lost
STATES = (  # what a walk by links does not meet: refused, not understood, not there
    "tanks/t7/course?substance=copper_sulfate&route=water_long&cause=velvet",
    "tanks/t7/options?cause=hexamita",
    "work-it-out/redose?level=2&now=0.9+mg/L&volume=54+L&change=30%25",
    "tanks/none-of-this-name",
    "find?words=nothing-like-this",
)
EMPTY = (
    "",
    "today",
    "look",
    "shelf",
    "find",
    "data",
    "settings",
    "more",
    "work-it-out",
    "several",
    "tanks/new",
)


@pytest.mark.parametrize(("size", "night"), [(PHONE, False), (PHONE, True), (DESKTOP, True)])
def test_axe_finds_nothing_on_any_page(size, night, window, tmp_path):
    page, found = window(size, night=night), {}

    def judge(url: str) -> None:
        if broke := broken(page):
            found[url] = broke

    with demo(tmp_path / "demo") as start:
        page.goto(start)
        tank = urljoin(start, page.get_attribute("a[href^='/tanks/']", "href"))
        states = [urljoin(start, state) for state in STATES]
        opened = crawl(page, start, *states, *(f"{tank}/{way}" for way in BY_FORMS), at_each=judge)
    assert len(opened) >= FEWEST
    assert found == {}


@pytest.mark.parametrize("night", [False, True])
def test_axe_finds_nothing_in_an_empty_room(night, window, empty):
    page = window(PHONE, night=night)
    found = {}
    for path in EMPTY:
        page.goto(empty(f"/{path}"))
        if broke := broken(page):
            found[path] = broke
    assert found == {}
