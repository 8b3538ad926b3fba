"""The demo room as pages, with a clock that a test can put forward."""

from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from starlette.testclient import TestClient

from tankward.desk.demo.generate import demo_logbook
from tankward.desk.desk import Desk
from tankward.knowledge.loader import load
from tankward.web.app import create

from .visitor import NOW, ORIGIN, Visitor


@cache
def kept(now: datetime) -> dict[str, bytes]:
    """The files of the demo's folder, written once for all tests: the same now writes the same."""
    with TemporaryDirectory() as folder:
        with Desk.open(folder, make=True) as desk:
            desk.append(*demo_logbook(now, load()))
        files = (p for p in Path(folder).rglob("*") if p.is_file())
        return {str(p.relative_to(folder)): p.read_bytes() for p in files}


def lay(folder: Path, now: datetime) -> None:
    """The demo's folder as the program would have written it."""
    for name, content in kept(now).items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)


class DemoVisitor(Visitor):
    """Somebody who opened the demo at 21:02, with a clock of their own."""

    def __init__(self, folder: Path, now: datetime = NOW) -> None:
        self.now = now
        if not folder.exists():
            lay(folder, now)
        self.desk = Desk.open(folder, make=True)
        app = create(self.desk, demo=True, clock=lambda: self.now, zone="UTC")
        self.client = TestClient(app, base_url=ORIGIN, follow_redirects=False)

    def later(self, **span: float) -> None:
        """Put the clock forward."""
        self.now += timedelta(**span)
