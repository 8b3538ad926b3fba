"""`tankward start`: the web app for one room."""

from __future__ import annotations

import logging
import shutil
import socket
from pathlib import Path
from typing import Annotated

import msgspec
from cyclopts import App, Parameter

from tankward.desk.desk import Desk
from tankward.desk.fault_log import fault_file
from tankward.desk.folder import data_folder
from tankward.quantities.faults import BadInput
from tankward.show.results_room import Started

from ..common import Common, local_zone

DEMO_MARK = "invented-demo-room"


def demo_folder() -> Path:
    """A folder of its own, beside the keeper's, made anew at each start."""
    usual = data_folder()
    folder = usual.with_name(usual.name + "-demo")
    if (folder / DEMO_MARK).exists():
        shutil.rmtree(folder)
    elif folder.exists() and any(folder.iterdir()):
        raise BadInput("room", str(folder), "holds something that is not the demo. Name another with --room.")
    folder.mkdir(parents=True, exist_ok=True)
    (folder / DEMO_MARK).touch()
    return folder


def open_demo(common: Common) -> Desk:
    """The invented room with half a year of logbook up to now."""
    from tankward.desk.demo.generate import demo_logbook
    from tankward.knowledge.loader import load

    desk = Desk.open(common.room or demo_folder(), make=True)
    if not desk.entries():
        desk.append(*demo_logbook(common.moment, load(), zone=local_zone()))
        (desk.folder / DEMO_MARK).touch()
    return desk


def bound(port: int) -> socket.socket:
    """A socket on loopback, so that a port in use is one sentence and not a page of log.

    Raises
    ------
    BadInput
        If the port is taken.
    """
    sock = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        sock.bind(("127.0.0.1", port))
        sock.listen()  # before the address is told: whoever reads it may come at once
    except (OSError, OverflowError):
        sock.close()
        raise BadInput(
            "port", str(port), "is in use or not allowed. Write another, or 0 to have one picked."
        ) from None
    return sock


def keep_faults(folder: Path) -> None:
    """Faults of the program go into a file beside the logbook, never onto the screen."""
    logging.basicConfig(level=logging.WARNING, handlers=[fault_file(folder)], force=True)


def start(
    *, demo: Annotated[bool, Parameter(negative=())] = False, port: int = 8765, common: Common = Common()
) -> Started | None:
    """Open the room in the browser; ctrl-C ends it.

    Parameters
    ----------
    demo
        The invented room.
    port
        The number after the address, 8765 without it; 0 picks one that is free.
    """
    import uvicorn

    from tankward.model.run import warm
    from tankward.web.app import create

    sock = bound(port)
    desk = open_demo(common) if demo else Desk.open(common.room, make=True)
    clock = (lambda: common.moment) if common.now else None
    app = create(desk, demo=demo, clock=clock, zone=local_zone())
    _tell(f"http://127.0.0.1:{sock.getsockname()[1]}/", desk.folder, demo, common)
    keep_faults(desk.folder)
    warm()  # the first pages are answered by the oracle meanwhile
    config = uvicorn.Config(app, log_config=None, timeout_graceful_shutdown=1, access_log=False)
    uvicorn.Server(config).run(sockets=[sock])
    return None


def _tell(address: str, folder: Path, demo: bool, common: Common) -> None:
    """Where it is, before it runs: the address as the first line, or the one object on one line."""
    says = f"The data is in {folder}. Ctrl-C ends."
    if common.json:
        told = Started(says=says, address=address, folder=str(folder), demo=demo, now=common.told)
        print(msgspec.json.encode(told).decode(), flush=True)
    else:
        print(f"{address}\n{says}", flush=True)


def add_to(app: App) -> None:
    """Add the command."""
    app.command(start)
