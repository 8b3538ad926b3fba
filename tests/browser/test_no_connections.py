"""Nothing leaves this machine: one page of every kind and every command, as children under the guard."""

import json
import subprocess
import sys
from urllib.parse import urljoin

import pytest

from tests.browser.crawl import BY_FORMS, TANKWARD, crawl, demo
from tests.cli import walk
from tests.guard import loopback_only


def child(*argv: str) -> subprocess.CompletedProcess:
    return subprocess.run([TANKWARD, *argv], capture_output=True, text=True, timeout=120)


def test_the_demo_walked_in_the_browser_asks_nobody_else(desktop, tmp_path):
    with demo(tmp_path / "demo") as start:
        desktop.goto(start)
        tank = urljoin(start, desktop.get_attribute("a[href^='/tanks/']", "href"))
        opened = crawl(desktop, start, *(f"{tank}/{way}" for way in BY_FORMS))
        desktop.goto(f"{start}tanks/new?go=all")
        desktop.get_by_label("What is it called?").fill("Invented")
        desktop.get_by_label("How much water, if you know?").fill("54 L")
        desktop.get_by_role("button", name="Add this tank").click()
        assert "Invented" in desktop.text_content("main")
    paths = {path for path, _ in opened}
    assert {"/", "/tanks/*", "/tanks/*/log/*", "/shelf", "/more", "/data/export.zip"} <= paths
    assert {"/tanks/*/causes", "/tanks/*/options", "/tanks/*/course", "/tanks/*/sheet.pdf"} <= paths
    assert {path: code for (path, _), code in opened.items() if code not in (200, 409)} == {}
    assert loopback_only.attempts() == []


EVERY = """
import json, sys
from tankward.cli import main

for line in json.loads(sys.argv[1]):
    if code := main.run(line):
        sys.exit(f"{line} ends with {code}")
"""


def test_all_commands_as_children_ask_nobody_else(tmp_path):
    room = ["--room", str(tmp_path / "room"), "--now", walk.NOW]
    lines = [[*line, *room] for line in (*walk.WRITES, *walk.ASKS.values())]
    lines += [list(line) for line in walk.NO_ROOM.values()]
    told = json.dumps(lines).replace("{folder}", str(tmp_path))
    done = subprocess.run([sys.executable, "-c", EVERY, told], capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr
    assert loopback_only.attempts() == []


def test_the_command_itself_as_a_child_asks_nobody_else(tmp_path):
    for line in (walk.TANK, ("tank", "show", "T1")):
        done = child(*line, "--room", str(tmp_path / "room"), "--json")
        assert done.returncode == 0, done.stderr
    assert loopback_only.attempts() == []


PLANTED = """
import contextlib, socket, sys
from tankward.cli import main
from tankward.cli.commands import facts

kept = facts.load

def load():
    with contextlib.suppress(OSError):
        {attempt}
    return kept()

facts.load = load
sys.exit(main.run(["facts", "praziquantel", "--json"]))
"""


@pytest.mark.parametrize(
    ("attempt", "noticed"),
    [
        ("socket.socket().connect(('192.0.2.1', 80))", "socket.connect '192.0.2.1'"),
        ("socket.getaddrinfo('example.org', 443)", "socket.getaddrinfo 'example.org'"),
    ],
)
def test_one_planted_in_a_command_is_noticed_though_it_hides_it(attempt, noticed):
    code = PLANTED.format(attempt=attempt)
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    assert noticed in loopback_only.attempts()


def test_one_planted_in_a_page_is_noticed(desktop, tmp_path):
    with demo(tmp_path / "demo") as start:
        desktop.route("**/more", lambda route: route.fulfill(
            content_type="text/html", body="<img src='http://example.org/a.png'>"
        ))  # fmt: skip
        crawl(desktop, f"{start}more")
    assert loopback_only.attempts() == ["page asked for http://example.org/a.png"]
