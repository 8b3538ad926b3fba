"""Somebody who opens pages and sends their forms, without a browser."""

import html
import re
from datetime import UTC, datetime
from html.parser import HTMLParser
from pathlib import Path

from starlette.testclient import TestClient

from tankward.desk.desk import Desk
from tankward.treat.planner.search import Budget
from tankward.web.app import create
from tests.helpers.rooms import entries_from

NOW = datetime(2026, 5, 12, 21, 2, tzinfo=UTC)
FEW = Budget(screened=300, simulated=16, refined=4)  # a plan that tests need not wait for
ORIGIN = "http://127.0.0.1"


class Reader(HTMLParser):
    """What ears and eyes get of a page: its words, its fields, its links."""

    def __init__(self) -> None:
        super().__init__()
        self.parts: list[str] = []
        self.fields: list[dict[str, str | None]] = []
        self.links: list[str] = []
        self.quiet = 0

    def handle_starttag(self, tag, attrs):
        found = dict(attrs)
        if tag in ("style", "script", "title"):
            self.quiet += 1
        if tag in ("input", "button", "select", "textarea"):
            self.fields.append({"tag": tag, **found})
        if tag == "a" and found.get("href"):
            self.links.append(found["href"])

    def handle_endtag(self, tag):
        if tag in ("style", "script", "title"):
            self.quiet -= 1

    def handle_data(self, data):
        if not self.quiet:
            self.parts.append(data)


class Seen:
    """One page as it was answered."""

    def __init__(self, response) -> None:
        self.code = response.status_code
        self.to = response.headers.get("location", "")
        self.html = response.text
        reader = Reader()
        reader.feed(response.text)
        self.words = re.sub(r"\s+", " ", " ".join(reader.parts)).strip()
        self.fields, self.links = reader.fields, reader.links

    def radios(self, name: str) -> list[dict]:
        return [f for f in self.fields if f.get("type") == "radio" and f.get("name") == name]

    def hidden(self, name: str) -> list[str]:
        return [f.get("value") for f in self.fields if f.get("type") == "hidden" and f.get("name") == name]

    def heading(self) -> str:
        found = re.findall(r"<h1[^>]*>(.*?)</h1>", self.html, re.DOTALL)
        assert len(found) == 1, "a page has one heading"
        return html.unescape(re.sub(r"<[^>]+>", "", found[0])).strip()


class Visitor:
    """Holds a room and its app."""

    def __init__(self, folder: Path, logbook: str = "") -> None:
        self.desk = Desk.open(folder, make=True)
        if logbook:
            self.desk.append(*entries_from(logbook))
        app = create(self.desk, clock=lambda: NOW, zone="UTC", budget=FEW)
        self.client = TestClient(app, base_url=ORIGIN, follow_redirects=False)

    def get(self, url: str, **query: str) -> Seen:
        return Seen(self.client.get(url, params=query or None))

    def post(self, url: str, page: Seen | None = None, **typed: str) -> Seen:
        """Send a form with the token that a page gave; without a page, without a token."""
        token = self.token(page) if page else ""
        data = {
            **({"form-token": token} if token else {}),
            **{k.replace("__", "-"): v for k, v in typed.items()},
        }
        return Seen(self.client.post(url, data=data, headers={"origin": ORIGIN}))

    def token(self, page: Seen) -> str:
        given = [f for f in page.fields if f.get("name") == "form-token"]
        assert given, "this page writes nothing"
        return given[0]["value"]

    @property
    def entries(self):
        return self.desk.entries()
