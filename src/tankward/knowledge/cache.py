"""A copy of the decoded facts in the user's cache folder. It only saves time: if it fails, we read again."""

from __future__ import annotations

import hashlib
import os
import tempfile
from pathlib import Path

import msgspec
import platformdirs

from tankward.knowledge.known import Facts

FORMAT = "1"  # raise when the records change without the version of the program


def stamp(folder: Path, version: str) -> str:
    """A hash over where the files are, their sizes and times, this code and the version of the program."""
    code = sorted(Path(__file__).parent.rglob("*.py"))
    parts = [FORMAT, version, str(folder.resolve())]
    for file in (*sorted(folder.rglob("*.toml")), *code):
        seen = file.stat()
        parts.append(f"{file.name} {seen.st_size} {seen.st_mtime_ns}")
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()[:24]


def get(stamp: str) -> Facts | None:
    """The kept facts, or None."""
    try:
        return msgspec.msgpack.decode(_file(stamp).read_bytes(), type=Facts)
    except (OSError, msgspec.MsgspecError, UnicodeDecodeError):
        return None


def put(stamp: str, facts: Facts) -> None:
    """Keep the facts; put in place whole or not at all. Older copies go."""
    try:
        file = _file(stamp)
        file.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=file.parent)
        with os.fdopen(handle, "wb") as out:
            out.write(msgspec.msgpack.encode(facts))
        Path(name).replace(file)
        _forget_older(file)
    except OSError:
        return


KEPT = 4


def _forget_older(file: Path) -> None:
    copies = sorted(file.parent.glob("*.facts"), key=lambda f: f.stat().st_mtime, reverse=True)
    for old in copies[KEPT:]:
        old.unlink(missing_ok=True)


def _file(stamp: str) -> Path:
    return Path(platformdirs.user_cache_dir("tankward", appauthor=False)) / "facts" / f"{stamp}.facts"
