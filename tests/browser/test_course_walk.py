"""By thumb and beside a keyboard: a course worked out, begun, ticked and undone, without scripts."""

import threading
import time
from datetime import UTC, datetime
from urllib.error import HTTPError
from urllib.request import urlopen

import pytest
import uvicorn
from playwright.sync_api import expect

from tankward.desk.desk import Desk
from tankward.model.run import warm
from tankward.web.app import create
from tests.browser.windows import DESKTOP, PHONE
from tests.helpers.rooms import entries_from

NOW = datetime(2026, 5, 12, 18, 10, tzinfo=UTC)
ROOM = """
1 May 2026 08:00  kit   scale=0.1g syringes="1 mL, 5 mL" buckets="10 L" region=other
1 May 2026 08:00  tank  T8  volume="21.7 L" temp=24C filter=sponge tap=chloramine
1 May 2026 08:01  stock T8  kind=pearl_danio_celestial name=danios number=18 length=2.2cm
1 May 2026 08:02  supply "cooking salt" unit=g sodium_chloride="1000 mg"
12 May 2026 17:00 reading T8  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.4 temp=24C
12 May 2026 17:10 look  T8  seen=white_spots
"""
COURSE = "/tanks/t8/course?substance=sodium_chloride&route=water_long&cause=white_spot"
REFUSED = "/tanks/t8/course?substance=formalin&route=water_long"


@pytest.fixture
def address(tmp_path):
    """The app of an invented room on a free port of this machine, its kernels ready as a keeper's are."""
    warm(wait=True)
    with Desk.open(tmp_path / "room", make=True) as desk:
        desk.append(*entries_from(ROOM))
        app = create(desk, clock=lambda: NOW, zone="UTC")
        server = uvicorn.Server(uvicorn.Config(app, port=0, log_level="error"))
        thread = threading.Thread(target=server.run, daemon=True)
        thread.start()
        for _ in range(200):
            if server.started:
                break
            time.sleep(0.05)
        port = server.servers[0].sockets[0].getsockname()[1]
        yield f"http://127.0.0.1:{port}"
        server.should_exit = True
        thread.join(10)


def at_rest(page, url):
    """The page once nothing is being worked out any more; until then it would load itself anew."""
    for _ in range(150):
        try:
            with urlopen(url) as answer:
                if b"data-waits" not in answer.read():
                    break
        except HTTPError:
            break
        time.sleep(0.2)
    page.goto(url)
    return page


def overflows(page) -> int:
    return page.evaluate("() => document.documentElement.scrollWidth - document.documentElement.clientWidth")


@pytest.mark.parametrize("size", [PHONE, DESKTOP], ids=["phone", "desktop"])
def test_a_course_is_begun_ticked_and_undone_without_scripts(window, address, size):
    page = at_rest(window(size, scripts=False), address + COURSE)
    assert page.locator("h1").inner_text().replace("\n", " ").startswith("Tonight in T8: change half")
    assert page.locator("p.number").inner_text().split() == ["21.7", "g"]
    page.get_by_role("button", name="Begin this course").click()
    assert page.url.startswith(f"{address}/tanks/t8")
    page = at_rest(page, f"{address}/tanks/t8")
    assert "Tonight at 18:30" in page.locator("h1").inner_text().replace("\n", " ")
    page.get_by_role("button", name="Done: Give 21.7 g of cooking salt.").click()
    page = at_rest(page, f"{address}/tanks/t8")
    done = page.get_by_text("Done so far: 1")
    done.click()
    page.get_by_role("button", name="Undo: Give 21.7 g of cooking salt.").first.click()
    page = at_rest(page, f"{address}/tanks/t8")
    assert page.get_by_role("button", name="Done: Give 21.7 g of cooking salt.").count() == 1


@pytest.mark.parametrize("night", [False, True], ids=["day", "night"])
@pytest.mark.parametrize("width", [320, 390, 1280])
@pytest.mark.parametrize("path", ["/tanks/t8", COURSE, REFUSED, "/tanks/t8/stock"])
def test_nothing_runs_out_of_the_side(window, address, path, width, night):
    page = at_rest(window({"width": width, "height": 844}, night=night), address + path)
    assert overflows(page) <= 0


def test_it_can_be_begun_by_keyboard_alone(window, address):
    page = at_rest(window(DESKTOP), address + COURSE)
    for _ in range(120):
        page.keyboard.press("Tab")
        if page.evaluate("() => document.activeElement.textContent.trim()") == "Begin this course":
            break
    assert page.evaluate("() => getComputedStyle(document.activeElement).outlineWidth") == "3px"
    page.keyboard.press("Enter")
    page.wait_for_url(f"{address}/tanks/t8**")


def test_what_is_worked_out_comes_by_itself(window, address):
    page = window(PHONE)
    page.goto(address + COURSE)
    expect(page.locator("main")).to_contain_text("Oxygen falls under 5 mg/L", timeout=30_000)


def test_what_can_be_touched_is_large_enough(window, address):
    page = at_rest(window(PHONE), address + COURSE)
    small = page.evaluate(
        """() => [...document.querySelectorAll('main a, main button, main summary')]
        .filter(e => e.offsetParent && e.getBoundingClientRect().height < 40)
        .map(e => e.textContent.trim())"""
    )
    assert small == []
