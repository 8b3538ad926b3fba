"""The file of faults: when, what sort, where in the program. Never what a keeper wrote."""

from __future__ import annotations

import logging
import os
import re
import traceback
from collections.abc import Iterator
from logging.handlers import RotatingFileHandler
from pathlib import Path, PurePath
from types import TracebackType

FILE = "faults.log"
# The only lines that are written, and the only ones that a report takes from a file that others may touch.
HEAD = re.compile(r"\d{4}-\d\d-\d\d \d\d:\d\d:\d\d,\d{3} (WARNING|ERROR|CRITICAL) [\w.]+:\d+( \w+)*")
FRAME = re.compile(r"  [\w./-]+\.py:\d+ [\w<>]+")
MOST_BYTES = 200_000  # then the file begins anew, and the one before is kept
FRAMES = 30  # of one fault, from the inside


class BareFormatter(logging.Formatter):
    """A fault without its message: a message may hold the name of a tank or a person."""

    def format(self, record: logging.LogRecord) -> str:
        """One head and the places that the fault went through."""
        head = f"{self.formatTime(record)} {record.levelname} {record.name}:{record.lineno}"
        found = record.exc_info
        if not found or found[1] is None:
            return head
        return "\n".join((f"{head} {_kinds(found[1])}", *_frames(found[2])))


def _kinds(fault: BaseException) -> str:
    """The sort of fault and what it came from, outermost first."""
    names, at = [type(fault).__name__], fault
    while (at := at.__cause__ or at.__context__) and len(names) < 5:  # type: ignore[assignment]
        names.append(type(at).__name__)
    return " ".join(names)


def _frames(trace: TracebackType | None) -> Iterator[str]:
    for frame in traceback.extract_tb(trace)[-FRAMES:]:
        yield f"  {_short(frame.filename)}:{frame.lineno} {frame.name}"


def _short(file: str) -> str:
    """A file from its package on: no folder of a person's machine."""
    parts = PurePath(file).parts
    for mark in ("tankward", "site-packages"):
        if mark in parts:
            last = len(parts) - 1 - parts[::-1].index(mark)
            return "/".join(parts[last + (mark == "site-packages") :])
    return parts[-1] if parts else "unknown.py"


class FaultFile(RotatingFileHandler):
    """The file itself. A disk that is full or closed gets no line, and nothing is told on the screen."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder / FILE, maxBytes=MOST_BYTES, backupCount=1, delay=True)
        self.setFormatter(BareFormatter())

    def handleError(self, record: logging.LogRecord) -> None:
        """Nowhere to tell it."""


def fault_file(folder: Path) -> logging.Handler:
    """Where the faults of a room go; nowhere if its folder isn't there or can only be read."""
    return FaultFile(folder) if os.access(folder, os.W_OK) else logging.NullHandler()


def keep_fault(folder: Path, fault: BaseException) -> None:
    """One line for a fault that nobody expected, with where it went through."""
    record = logging.LogRecord(
        "tankward.cli", logging.ERROR, "", 0, "", (), (type(fault), fault, fault.__traceback__)
    )
    kept = fault_file(folder)
    kept.emit(record)
    kept.close()


def kept_faults(folder: Path, most: int = 400) -> list[str]:
    """The newest lines of the file of faults, leaving out whatever does not look like one of ours."""
    files = (folder / f"{FILE}.1", folder / FILE)
    lines = [line for f in files if f.is_file() for line in f.read_text(errors="replace").splitlines()]
    return [line for line in lines if HEAD.fullmatch(line) or FRAME.fullmatch(line)][-most:]
