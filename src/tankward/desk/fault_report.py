"""What a report of a fault holds: the versions, the machine, the file of faults. Nothing of the keeper."""

from __future__ import annotations

import platform
import sqlite3

import msgspec

from tankward.knowledge.known import Facts
from tankward.store.check import checked

from .desk import Desk
from .fault_log import kept_faults


class FaultReport(msgspec.Struct, frozen=True, kw_only=True):
    """Everything that is written into the report."""

    program: str
    facts: str
    python: str
    system: str
    sqlite: str
    entries: int
    whole: bool  # the logbook opens and replays
    faults: tuple[str, ...]  # lines of the file of faults


def fault_report(desk: Desk, facts: Facts, program: str) -> FaultReport:
    """Gather the report; nothing is saved or sent."""
    found = checked(desk.store.file) if desk.store.file.exists() else None
    return FaultReport(
        program=program,
        facts=f"{facts.version} {facts.digest}",
        python=platform.python_version(),
        system=f"{platform.system()} {platform.release()} {platform.machine()}",
        sqlite=sqlite3.sqlite_version,
        entries=found.entries if found else 0,
        whole=not (found and found.faults),
        faults=tuple(kept_faults(desk.folder)),
    )
