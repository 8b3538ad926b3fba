"""The demo room as pages, with a clock that a test can put forward."""

from datetime import datetime, timedelta
from functools import cache
from pathlib import Path

from starlette.testclient import TestClient

from tankward.desk.demo.generate import demo_logbook
from tankward.desk.desk import Desk
from tankward.knowledge.loader import load
from tankward.room.entries.base import Entry
from tankward.web.app import create

from .visitor import NOW, ORIGIN, Visitor


@cache
def logbook(now: datetime) -> tuple[Entry, ...]:
    """Written once for all tests: the same now writes the same."""
    return tuple(demo_logbook(now, load()))


class DemoVisitor(Visitor):
    """Somebody who opened the demo at 21:02, with a clock of their own."""

    def __init__(self, folder: Path, now: datetime = NOW) -> None:
        self.now = now
        self.desk = Desk.open(folder, make=True)
        self.desk.append(*logbook(now))
        app = create(self.desk, demo=True, clock=lambda: self.now, zone="UTC")
        self.client = TestClient(app, base_url=ORIGIN, follow_redirects=False)

    def later(self, **span: float) -> None:
        """Put the clock forward."""
        self.now += timedelta(**span)
