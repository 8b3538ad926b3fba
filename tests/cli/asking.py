"""Runs one command in this process, as a shell would, and keeps what it said."""

import contextlib
import io
import json
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from tankward.cli.main import run

NOW = "2026-05-14T18:00"


@dataclass(frozen=True)
class Said:
    """Exit code and both streams of one command."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


def ask(*argv: str) -> Said:
    """Run a command; a traceback on the way out is a fault of the command and comes through."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = run(list(argv))
    return Said(code, out.getvalue(), err.getvalue())


def ask_room(room: Path, *argv: str, now: str = NOW) -> Said:
    """Run a command on a room at a moment, for JSON."""
    return ask(*argv, "--room", str(room), "--now", now, "--json")


def digest(folder: Path) -> dict[str, str]:
    """Every file of a folder with its digest, without the memory that a database's readers share."""
    files = (p for p in sorted(folder.rglob("*")) if p.is_file() and not p.name.endswith("-shm"))
    return {str(p.relative_to(folder)): sha256(p.read_bytes()).hexdigest() for p in files}


def fill(room: Path, lines: Sequence[Sequence[str]], now: str = NOW) -> None:
    """Write what a test needs into a room."""
    for line in lines:
        said = ask_room(room, *line, now=now)
        assert said.code == 0, (line, said.err)
