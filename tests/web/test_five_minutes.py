"""Five minutes with the demo: each step leads where it says, is ticked once opened; no other room has it."""

import re

import pytest

from tankward.show.words.five_minutes import STEPS
from tankward.web.pages import PAGES

from .demo_room import DemoVisitor


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    return DemoVisitor(tmp_path_factory.mktemp("demo") / "room")


def ticks(page):
    return re.findall(r'aria-label="(Opened|Not opened yet)"', page.html)


def test_no_step_is_ticked_before_it_was_opened(demo):
    page = demo.get("/five-minutes")
    assert page.heading() == "Five minutes with a room that is not real."
    assert ticks(page) == ["Not opened yet"] * len(STEPS)
    assert [link for link in page.links if link.startswith("/five-minutes/")] == [
        f"/five-minutes/{s.id}" for s in STEPS
    ]


@pytest.mark.parametrize("step", STEPS, ids=lambda s: s.id)
def test_a_step_leads_to_a_page_that_is_there_and_is_marked(demo, step):
    sent = demo.get(f"/five-minutes/{step.id}")
    assert (sent.code, sent.to) == (303, step.url)
    there = demo.get(sent.to)
    assert there.code == 200
    assert "Invented room, invented numbers." in there.words
    assert "/five-minutes" in there.links


def test_what_was_opened_is_ticked_without_scripts(tmp_path):
    demo = DemoVisitor(tmp_path / "room")
    demo.get("/five-minutes/net")
    page = demo.get("/five-minutes")
    assert ticks(page).count("Opened") == 1
    assert ticks(page)[[s.id for s in STEPS].index("net")] == "Opened"
    assert page.heading() == f"{len(STEPS) - 1} more to see."
    for step in STEPS:
        demo.get(f"/five-minutes/{step.id}")
    assert demo.get("/five-minutes").heading() == "Seen. Now a room of your own."


def test_it_is_named_on_today_and_first_under_more(demo):
    assert "/five-minutes" in demo.get("/today").links
    more = [link for link in demo.get("/more").links if link not in ("/today", "/", "/look", "/more")]
    assert more.count("/five-minutes") == 2  # the line above, and the list


def test_a_cookie_with_nonsense_ticks_nothing(demo):
    demo.client.cookies.set("tankward-five", "<b>.net2", domain="127.0.0.1", path="/five-minutes")
    page = demo.get("/five-minutes")
    assert "<b>" not in page.html.split("<main")[1]


def test_an_unknown_step_is_no_page(demo):
    assert demo.get("/five-minutes/elsewhere").code == 404


def test_outside_the_demo_there_is_no_such_page_and_no_link_to_it(keeper):
    assert keeper.get("/five-minutes").code == 404
    assert keeper.get("/five-minutes/look").code == 404
    assert "/five-minutes" not in keeper.get("/more").links
    assert "/five-minutes" not in keeper.get("/today").links


# Every address that needs no more than a tank; files carry their mark inside, and are read in tests/press.
PLACES = sorted(
    route.path.replace("{tank}", "T7")
    for module in PAGES
    for route in module.ROUTES
    if "GET" in route.methods and "{" not in route.path.replace("{tank}", "") and "." not in route.path
)


def test_every_page_of_the_demo_says_that_it_is_invented(demo):
    answers = {path: demo.get(path) for path in PLACES}
    pages = {path: page for path, page in answers.items() if "<main" in page.html}
    assert len(pages) > 20
    assert [
        path for path, page in pages.items() if "Invented room, invented numbers." not in page.words
    ] == []
