"""Where the logbook lies, and ids for what is written into it."""

from __future__ import annotations

import os
from pathlib import Path

import platformdirs
import uuid6

VARIABLE = "TANKWARD_ROOM"


def data_folder(given: str | os.PathLike[str] | None = None) -> Path:
    """The folder named, else the one in TANKWARD_ROOM, else this system's usual place for data."""
    named = given or os.environ.get(VARIABLE)
    if named:
        return Path(named).expanduser()
    return Path(platformdirs.user_data_path("tankward", appauthor=False))


def new_id() -> str:
    """An id that grows with time and can be made anywhere without asking (UUIDv7)."""
    return str(uuid6.uuid7())
