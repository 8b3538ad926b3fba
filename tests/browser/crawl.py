"""The demo in a process of its own, and one page of every kind that a link of it leads to."""

import re
import signal
import subprocess
import sys
from collections.abc import Callable
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import parse_qsl, urljoin, urlsplit

from tests.cli import walk

TANKWARD = Path(sys.executable).with_name("tankward")
ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/")
FILES = (".pdf", ".zip", ".txt", ".css", ".svg", ".ics")
MOST_PAGES = 200
# What follows is one of many of a kind.
NAMED = ("tanks", "entries", "copies", "work-it-out", "log", "know", "shelf", "photos", "microscope")
COURSE = "course?substance=praziquantel&route=water_long&cause=skin_flukes"
PLAN = "plan?cause=skin_flukes"
# Of a tank; what the walk reaches by its forms.
BY_FORMS = ("causes", "options?cause=skin_flukes", PLAN, COURSE)


@contextmanager
def demo(folder: Path):
    """The demo as `tankward start --demo` opens it."""
    command = [TANKWARD, "start", "--demo", "--port", "0", "--room", str(folder), "--now", walk.NOW]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        try:
            yield ADDRESS.search(process.stdout.readline())[0]
        finally:
            process.send_signal(signal.SIGINT)
            process.wait(60)  # what is being worked out comes to its end first


def shape(url: str) -> tuple:
    """What pages of one kind have in common: one of each is opened."""
    parts = urlsplit(url).path.split("/")
    plain = ["*" if n and parts[n - 1] in NAMED and part != "new" else part for n, part in enumerate(parts)]
    asked = parse_qsl(urlsplit(url).query)
    return "/".join(plain), frozenset(
        key.partition("-")[0] for key, _ in asked
    )  # "n-T1-0": one field of many


def crawl(page, start: str, *more: str, at_each: Callable[[str], None] = str) -> dict[tuple, int]:
    """Open one page of each kind that a link leads to; its answer's code by its kind.

    `at_each` is called with the address while the page is open.
    """
    left, seen = [start, *more], {}
    while left and len(seen) < MOST_PAGES:
        url = left.pop(0)
        if shape(url) in seen or not url.startswith(start):
            continue
        if urlsplit(url).path.endswith(FILES):
            seen[shape(url)] = page.request.get(url).status
            continue
        seen[shape(url)] = page.goto(url).status
        at_each(url)
        found = page.eval_on_selector_all("a[href]", "all => all.map(a => a.getAttribute('href'))")
        left += [urljoin(url, link).partition("#")[0] for link in found]
    return seen
