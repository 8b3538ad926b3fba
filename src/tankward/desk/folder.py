"""Where the logbook lies, and ids for what is written into it."""

from __future__ import annotations

import os
from pathlib import Path
from zoneinfo import available_timezones

import platformdirs
import uuid6

VARIABLE = "TANKWARD_ROOM"
LINK = Path("/etc/localtime")


def data_folder(given: str | os.PathLike[str] | None = None) -> Path:
    """The folder named, else the one in TANKWARD_ROOM, else this system's usual place for data."""
    named = given or os.environ.get(VARIABLE)
    if named:
        return Path(named).expanduser()
    return Path(platformdirs.user_data_path("tankward", appauthor=False))


def new_id() -> str:
    """An id that grows with time and can be made anywhere without asking (UUIDv7)."""
    return str(uuid6.uuid7())


def local_zone() -> str:
    """The zone of this machine's wall clock by its name; UTC where it can't be told."""
    named = os.environ.get("TZ", "").removeprefix(":") or _linked_zone()
    return named if named in available_timezones() else "UTC"


def _linked_zone() -> str:
    # /etc/localtime points into a folder of zones: .../zoneinfo/Europe/Berlin.
    return str(LINK.resolve()).partition("zoneinfo/")[2] if LINK.exists() else ""
