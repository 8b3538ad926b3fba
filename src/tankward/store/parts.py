"""Files that are whole or not there: written beside their place, put on the disk, then named."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path


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
