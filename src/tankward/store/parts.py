"""Files that are whole or not there: written beside their place, put on the disk, then named."""

from __future__ import annotations

import os
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

from .faults import StoreFault, explain


@contextmanager
def part_beside(to: Path) -> Iterator[Path]:
    """A file of its own in the same folder; what is left of it is removed. Rename it to keep it."""
    handle, name = tempfile.mkstemp(prefix=".part-", suffix=to.suffix, dir=to.parent)
    os.close(handle)
    try:
        yield Path(name)
    finally:
        for ending in ("", "-journal", "-wal", "-shm"):
            with suppress(FileNotFoundError):
                Path(name + ending).unlink()


@contextmanager
def new_file(to: Path) -> Iterator[IO[bytes]]:
    """A file that is there when all of it was written, and never over another.

    Raises
    ------
    StoreFault
        If there is one already or it can't be written; then nothing was.
    """
    to = to.absolute()
    if to.exists():
        raise StoreFault(f"{to} is there already. Nothing was written; name another file.")
    with told(to.parent), part_beside(to) as part:
        with part.open("wb") as out:
            yield out
            to_disk(out)
        part.replace(to)
        fsync_folder(to.parent)


@contextmanager
def told(folder: Path) -> Iterator[None]:
    """Faults of the disk and of the database as one sentence."""
    try:
        yield
    except (OSError, sqlite3.Error) as fault:
        raise explain(folder, fault, hint="") from fault


def to_disk(out: IO[bytes]) -> None:
    """What was written so far is on the disk before this returns."""
    out.flush()
    os.fsync(out.fileno())


def fsync_file(file: Path) -> None:
    """What the file holds is on the disk before this returns."""
    with file.open("rb") as opened:
        os.fsync(opened.fileno())


def fsync_folder(folder: Path) -> None:
    """The names in a folder are on the disk before this returns, where the system can say so."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
