"""The app on loopback, in a thread, for pages that are opened in a window."""

import contextlib
import threading
import time
from pathlib import Path

import pytest
import uvicorn

from tankward.desk.desk import Desk
from tankward.web.app import create
from tests.helpers.rooms import entries_from
from tests.web.conftest import ROOM
from tests.web.visitor import FEW, NOW


class Served:
    """A room and the address at which it answers."""

    def __init__(self, folder: Path, url: str) -> None:
        self.folder, self.url = folder, url

    @property
    def desk(self) -> Desk:
        """The same room opened beside the app, as another program would."""
        return Desk.open(self.folder)

    def __call__(self, path: str) -> str:
        return self.url + path


@contextlib.contextmanager
def serving(folder: Path, logbook: str = "", port: int = 0):
    """A room of its own in the browser, and how it is reached."""
    desk = Desk.open(folder, make=True)
    if logbook:
        desk.append(*entries_from(logbook))
    app = create(desk, clock=lambda: NOW, zone="UTC", budget=FEW)
    server = uvicorn.Server(uvicorn.Config(app, host="127.0.0.1", port=port, log_level="warning"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    until = time.monotonic() + 30
    while not server.started and time.monotonic() < until:
        time.sleep(0.02)
    port = server.servers[0].sockets[0].getsockname()[1]
    yield Served(desk.folder, f"http://127.0.0.1:{port}")
    server.should_exit = True
    thread.join(10)


@pytest.fixture
def served(tmp_path):
    """The invented room of the page tests, in the browser."""
    with serving(tmp_path / "room", ROOM) as room:
        yield room


@pytest.fixture
def empty(tmp_path):
    """A room with nothing in it yet."""
    with serving(tmp_path / "empty") as room:
        yield room
