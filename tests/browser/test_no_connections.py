"""Nothing leaves this machine: one page of every kind and every command, as children under the guard."""

import json
import re
import signal
import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import parse_qsl, urljoin, urlsplit

import pytest

from tests.cli import walk
from tests.guard import loopback_only

TANKWARD = Path(sys.executable).with_name("tankward")
ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/")
FILES = (".pdf", ".zip", ".txt", ".css", ".svg", ".ics")
MOST_PAGES = 80
NAMED = ("tanks", "entries", "copies", "work-it-out", "log")  # what follows is one of many of a kind


def child(*argv: str) -> subprocess.CompletedProcess:
    return subprocess.run([TANKWARD, *argv], capture_output=True, text=True, timeout=120)


@contextmanager
def demo(folder: Path):
    """The demo as `tankward start --demo` opens it, in a process of its own."""
    command = [TANKWARD, "start", "--demo", "--port", "0", "--room", str(folder), "--now", walk.NOW]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        try:
            yield ADDRESS.search(process.stdout.readline())[0]
        finally:
            process.send_signal(signal.SIGINT)
            process.wait(10)


def shape(url: str) -> tuple:
    """What pages of one kind have in common: one of each is opened."""
    parts = urlsplit(url).path.split("/")
    plain = ["*" if n and parts[n - 1] in NAMED else part for n, part in enumerate(parts)]
    return "/".join(plain), frozenset(key for key, _ in parse_qsl(urlsplit(url).query))


COURSE = "course?substance=praziquantel&route=water_long&cause=skin_flukes"
BY_FORMS = ("causes", "options?cause=skin_flukes", COURSE)  # of a tank; what the walk reaches by its forms


def crawl(page, start: str, *more: str) -> dict[tuple, int]:
    """Open one page of each kind that a link leads to; its answer's code by its kind."""
    left, seen = [start, *more], {}
    while left and len(seen) < MOST_PAGES:
        url = left.pop(0)
        if shape(url) in seen or not url.startswith(start):
            continue
        if urlsplit(url).path.endswith(FILES):
            seen[shape(url)] = page.request.get(url).status
            continue
        seen[shape(url)] = page.goto(url).status
        found = page.eval_on_selector_all("a[href]", "all => all.map(a => a.getAttribute('href'))")
        left += [urljoin(url, link).partition("#")[0] for link in found]
    return seen


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
