"""Windows of the sizes and colours that are looked at, opened only when a test asks for one."""

import os
import shutil
from urllib.parse import urlsplit

import pytest

from tests.guard import loopback_only

PHONE = {"width": 390, "height": 844}
DESKTOP = {"width": 1280, "height": 800}
NO_NAMES = "MAP tank.test 127.0.0.1, MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost, EXCLUDE [::1]"
QUIET = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", f"--host-resolver-rules={NO_NAMES}",
]  # fmt: skip
MISSING = "Chromium is not installed, so the pages were not tried (Debian: apt-get install chromium)."


def chromium() -> str | None:
    """Where the browser is, if it is."""
    return shutil.which("chromium") or shutil.which("chromium-browser")


@pytest.fixture(scope="session")
def browser_type_launch_args():
    path = chromium()
    if path is None and os.environ.get("TANKWARD_BROWSER_REQUIRED"):
        pytest.fail(MISSING, pytrace=False)
    if path is None:
        pytest.skip(MISSING)
    return {"executable_path": path, "args": QUIET}


@pytest.fixture
def window(new_context):
    """Open a page: `window(PHONE, night=True)`. A script error or a broken content policy fails the test."""
    faults = []

    def open_window(size=PHONE, *, night=False, scripts=True, **more):
        context = new_context(
            viewport=size,
            color_scheme="dark" if night else "light",
            java_script_enabled=scripts,
            has_touch=size is PHONE,
            **more,
        )
        context.on("request", note_strangers)
        context.on("weberror", lambda error: faults.append(str(error.error)))
        context.on("console", lambda line: note_policy(line, faults))
        return context.new_page()

    yield open_window
    assert faults == []


def note_strangers(request) -> None:
    """A page that asks another machine is an attempt like any other."""
    url = urlsplit(request.url)
    if url.scheme in ("http", "https", "ws", "wss") and not loopback_only.stays_here(url.hostname):
        loopback_only.write_down(f"page asked for {request.url}")


def note_policy(line, faults) -> None:
    if line.type == "error" and "Content Security Policy" in line.text:
        faults.append(line.text)


@pytest.fixture
def phone(window):
    return window(PHONE)


@pytest.fixture
def phone_at_night(window):
    return window(PHONE, night=True)


@pytest.fixture
def desktop(window):
    return window(DESKTOP)


@pytest.fixture
def desktop_at_night(window):
    return window(DESKTOP, night=True)
