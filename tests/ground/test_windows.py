"""The windows the page tests open: their sizes and colours, and what happens without a browser."""

import http.server
import shutil
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from tests.browser.windows import chromium
from tests.guard import loopback_only

ROOT = Path(__file__).parents[2]


def serve_once(page: bytes) -> http.server.HTTPServer:
    class Page(http.server.BaseHTTPRequestHandler):
        def do_GET(self):
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.end_headers()
            self.wfile.write(page if self.path == "/" else b"")

        def log_message(self, *_):
            """Quiet."""

    server = http.server.HTTPServer(("127.0.0.1", 0), Page)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    return server


def test_a_page_that_asks_elsewhere_is_noticed(phone):
    server = serve_once(b"<title>Planted</title><img src='http://example.org/a.png'>")
    phone.goto(f"http://127.0.0.1:{server.server_port}/")
    assert phone.title() == "Planted"
    server.shutdown()
    server.server_close()
    assert loopback_only.attempts() == ["page asked for http://example.org/a.png"]


@pytest.mark.parametrize(
    ("fixture", "width", "night"),
    [
        ("phone", 390, False),
        ("phone_at_night", 390, True),
        ("desktop", 1280, False),
        ("desktop_at_night", 1280, True),
    ],
)
def test_windows_have_their_size_and_colour(request, fixture, width, night):
    page = request.getfixturevalue(fixture)
    assert page.evaluate("innerWidth") == width
    assert page.evaluate("matchMedia('(prefers-color-scheme: dark)').matches") is night


BROWSER_ASKED = "def test_of_a_page(phone):\n    assert phone\n"


@pytest.mark.parametrize(("required", "code", "word"), [("", 0, "1 skipped"), ("1", 1, "1 error")])
def test_a_missing_browser_is_said_or_refused(tmp_path, monkeypatch, required, code, word):
    shutil.copytree(ROOT / "tests" / "browser", tmp_path / "tests" / "browser")
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setenv("TANKWARD_BROWSER_REQUIRED", required)
    shutil.copytree(ROOT / "tests" / "guard", tmp_path / "tests" / "guard")
    (tmp_path / "conftest.py").write_text("from tests.browser.windows import *\n")
    (tmp_path / "pytest.ini").write_text("[pytest]\npythonpath = .\n")
    (tmp_path / "test_page.py").write_text(BROWSER_ASKED)
    command = [sys.executable, "-m", "pytest", "-q", "-rs", "-p", "no:cacheprovider", "test_page.py"]
    run = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True)
    assert run.returncode == code, run.stdout + run.stderr
    assert word in run.stdout
    assert "Chromium is not installed" in run.stdout
    assert chromium() is None
