"""backup, restore, check, export, import, fault-report: the keeper's data, whole."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import App

from tankward import __version__
from tankward.desk import carrying, data
from tankward.desk.desk import Desk
from tankward.desk.fault_report import fault_report
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.time import local
from tankward.show.results_data import (
    BackedUp,
    CheckedResult,
    CopyList,
    CopyRow,
    Exported,
    FaultReportResult,
    Imported,
    Number,
    Restored,
)
from tankward.show.words import data as words
from tankward.store.backup import Copy
from tankward.store.check import Checked
from tankward.store.parts import new_file

from ..common import FLAG, Common, opened


def backup(to: Path | None = None, *, common: Common = Common()) -> BackedUp:
    """Copy the logbook, also while Tankward is running, then open and replay the copy.

    Parameters
    ----------
    to
        A file or a folder; else the folder of copies beside the logbook.
    """
    with opened(common) as desk:
        made = data.back_up(desk, common.moment, to)
    return BackedUp(
        says=words.copied_says(str(made.file), made.found.entries, len(made.found.pictures)),
        file=str(made.file),
        entries=Number(value=made.found.entries),
        digest=made.found.digest,
        now=common.told,
    )


def restore(copy: str = "", *, common: Common = Common()) -> CopyList | Restored:
    """Put a copy back; the logbook that is there is kept first. Without a name: the copies that there are.

    Parameters
    ----------
    copy
        Its name, its day like 2026-05-14, or its file.
    """
    with opened(common) as desk:
        if not copy:
            return _listed(desk, common)
        done = data.put_back(desk, data.copy_or_file(desk, copy), common.moment)
    kept = str(done.kept or "")
    return Restored(
        says=words.put_back_says(copy, done.found.entries, kept, done.lacking),
        copy=copy,
        kept=kept,
        entries=Number(value=done.found.entries),
        digest=done.found.digest,
        now=common.told,
    )


def _listed(desk: Desk, common: Common) -> CopyList:
    rows = [_row(copy, common) for copy in data.copies(desk)]
    says = "Write tankward restore with one of these names." if rows else "There is no copy yet."
    return CopyList(says=says, copies=rows, now=common.told)


def _row(copy: Copy, common: Common, found: Checked | None = None) -> CopyRow:
    return CopyRow(
        name=copy.name,
        file=str(copy.file),
        made=copy.made.isoformat(timespec="seconds"),
        says=f"{words.copy_head(copy.name)}, made {words.made_words(copy.made, common.zone)}",
        entries=Number(value=found.entries) if found else None,
        fault=found.faults[0] if found and found.faults else "",
    )


def check(*, common: Common = Common()) -> CheckedResult:
    """Is the logbook whole? Opens it and every copy, reads each entry, replays them all."""
    with opened(common) as desk:
        seen = data.check(desk, common.moment)
    return CheckedResult(
        says=words.check_says(seen, seen.logbook.entries, len(seen.copies), len(seen.logbook.pictures)),
        whole=not seen.faults,
        entries=Number(value=seen.logbook.entries),
        digest=seen.logbook.digest,
        faults=list(seen.faults),
        copies=[_row(c.copy, common, c.found) for c in seen.copies],
        cautions=words.check_cautions(seen),
        now=common.told,
    )


def export(
    to: Path | None = None, *, text: Annotated[bool, FLAG] = False, common: Common = Common()
) -> Exported:
    """Everything in one file to carry away; import reads it back whole.

    Parameters
    ----------
    to
        The file; else one named after the day, here.
    text
        As a logbook in plain text instead of a zip of JSON lines.
    """
    day = local(common.moment, common.zone).date().isoformat()
    file = to or Path(f"tankward-{day}.{'txt' if text else 'zip'}")
    with opened(common) as desk, new_file(file) as out:
        if text:
            out.write(carrying.as_text(desk).encode())
            number, digest, photos, lacking = len(desk.entries()), "", 0, 0
        else:
            manifest = carrying.export(desk, out, load(), __version__, common.moment)
            number, digest = manifest.entries, manifest.sha256
            photos, lacking = manifest.photos, len(manifest.lacking)
    return Exported(
        says=words.exported_says(str(file), number, photos, lacking),
        file=str(file.absolute()),
        entries=Number(value=number),
        sha256=digest,
        now=common.told,
    )


def bring_in(file: Path, *, common: Common = Common()) -> Imported:
    """Take in an export or a logbook in plain text: all of it or nothing.

    Parameters
    ----------
    file
        What export wrote, here or on another machine. An entry that is here already is kept once.
    """
    if not file.is_file():
        raise BadInput("import", str(file), "is no file. Write the file that tankward export made.")
    with opened(common) as desk, file.open("rb") as packed:
        done = carrying.bring_in(desk, packed, file.name, common.zone, load())
    return Imported(
        says=words.brought_says(done.new, done.known, done.photos),
        new=Number(value=done.new),
        known=Number(value=done.known),
        photos=Number(value=done.photos),
        cautions=words.strange_says(done.strange),
        now=common.told,
    )


def report(file: Path | None = None, *, common: Common = Common()) -> FaultReportResult:
    """What a fault report holds; with a file it is saved there. It is sent nowhere.

    Parameters
    ----------
    file
        Where to save it. Without it the report is only shown.
    """
    with opened(common) as desk:
        holds = words.report_lines(fault_report(desk, load(), __version__))
    if file is None:
        says = "A fault report would hold the lines below and nothing else: no name, no note, no entry."
        return FaultReportResult(says=says, holds=holds, file="", now=common.told)
    with new_file(file) as out:
        out.write(("\n".join(holds) + "\n").encode())
    says = f"Saved to {file}. It holds the lines below and nothing else."
    return FaultReportResult(says=says, holds=holds, file=str(file.absolute()), now=common.told)


def add_to(app: App) -> None:
    """Add the commands."""
    app.command(backup)
    app.command(restore)
    app.command(check)
    app.command(export)
    app.command(bring_in, name="import")
    app.command(report, name="fault-report")
