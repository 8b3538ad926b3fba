"""The round by thumb where Wi-Fi drops: nothing is lost, nothing is doubled, each touch keeps its time."""

from datetime import timedelta

from tankward.room.entries.animals import Counted
from tankward.room.entries.looks import Look
from tests.browser.conftest import serving
from tests.web.conftest import ROOM
from tests.web.visitor import NOW

NEAR = timedelta(minutes=2)


def looks(room):
    with room.desk as desk:
        return [(e.tank, e.at) for e in desk.entries() if isinstance(e, Look)]


def touch(page, name="All well"):
    page.get_by_role("button", name=name, exact=True).locator("visible=true").click()


def test_ticks_wait_on_the_phone_and_go_over_once(served, phone):
    phone.goto(served("/today"))
    phone.context.set_offline(True)
    touch(phone)
    phone.get_by_role("heading", name="One tick waits on this phone.").wait_for()
    assert phone.locator(".hand:visible h2").inner_text() == "T7"
    phone.wait_for_timeout(400)
    touch(phone)
    phone.get_by_role("heading", name="Two ticks wait on this phone.").wait_for()
    assert "two waiting" in phone.locator(".place-line").inner_text()
    rows = phone.locator(".waiting li").all_inner_texts()
    assert "T2" in rows[0]
    assert "waiting" in rows[0]
    assert "All well" in rows[1]
    assert looks(served) == []
    phone.wait_for_timeout(3000)
    phone.context.set_offline(False)
    phone.get_by_role("heading", name="The round is done.").wait_for()
    assert "waiting" not in phone.locator(".place-line").inner_text()
    kept = looks(served)
    assert [tank for tank, _ in kept] == ["t2", "t7"]
    assert all(timedelta(seconds=2) < NOW - at < NEAR for _, at in kept)  # the time of the touch
    phone.reload()
    assert len(looks(served)) == 2


def test_a_room_that_stops_and_starts_again_loses_no_tick(tmp_path, window):
    page = window()
    with serving(tmp_path / "room", ROOM) as room:
        page.goto(room("/today"))
        port = int(room.url.rsplit(":", 1)[1])
    touch(page)
    page.get_by_role("heading", name="One tick waits on this phone.").wait_for()
    with serving(tmp_path / "room", port=port) as room:
        page.get_by_role("heading", name="One tank done, all well.").wait_for()
        assert [tank for tank, _ in looks(room)] == ["t2"]


def test_a_wet_double_touch_is_one_touch_and_never_the_next_tank(served, phone):
    phone.goto(served("/today"))
    phone.get_by_role("button", name="All well").locator("visible=true").dblclick()
    phone.get_by_role("heading", name="One tank done, all well.").wait_for()
    phone.wait_for_timeout(500)
    assert [tank for tank, _ in looks(served)] == ["t2"]


def test_a_count_is_two_touches(served, phone):
    phone.goto(served("/today"))
    phone.get_by_label("One fewer: guppy").locator("visible=true").click()
    assert phone.locator(".figure:visible").inner_text() == "21"
    touch(phone)
    phone.get_by_text("One is missing in T2").wait_for()
    with served.desk as desk:
        assert [e.number.value for e in desk.entries() if isinstance(e, Counted)] == [21]
