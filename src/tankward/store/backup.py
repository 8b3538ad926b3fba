"""Copies of the logbook: made while others write, opened and replayed before they count, kept for days."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Collection
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import msgspec

from .check import Checked, checked
from .database import read_connection
from .faults import StoreFault
from .parts import fsync_folder, part_beside, told
from .photos import COPIES, carried, folder_of, mended, picture_file, pictures_in
from .photos import FOLDER as PHOTOS

KEPT_DAYS = 14
DAY = re.compile(r"day-(\d{4}-\d\d-\d\d)\.db")
STAMP = "%Y-%m-%dT%H%M%SZ"


class Copy(msgspec.Struct, frozen=True, kw_only=True):
    """One copy in the folder of copies. `made` is the file's own time."""

    file: Path
    made: datetime

    @property
    def name(self) -> str:
        return self.file.stem


def copies(folder: Path) -> list[Copy]:
    """The copies beside a logbook, newest first."""
    there = (folder / COPIES).glob("[!.]*.db")  # a name with a dot is a copy that was cut off
    made = [Copy(file=f, made=datetime.fromtimestamp(f.stat().st_mtime, UTC)) for f in there]
    return sorted(made, key=lambda c: (c.made, c.name), reverse=True)


def back_up(file: Path, to: Path) -> Checked:
    """Copy a logbook while others may be writing to it, then open and replay the copy.

    Raises
    ------
    StoreFault
        If there is a file already, if the copy can't be written or is not whole; then there is none.
    """
    if to.exists():
        raise StoreFault(f"{to} is there already; nothing was written over it.")
    return _copied(file, to)


def _copied(file: Path, to: Path) -> Checked:
    with told(to.parent):
        to.parent.mkdir(parents=True, exist_ok=True)
        with part_beside(to) as part:
            copy_pages(file, part)
            found = checked(part)
            if found.faults:
                raise StoreFault(f"No copy was made, because it would not be whole: {found.faults[0]}.")
            # Pictures first: no copy names one that was still to come.
            carried(folder_of(file), folder_of(to), found.pictures)
            part.replace(to)
        fsync_folder(to.parent)
    return found


def copy_pages(file: Path, to: Path) -> None:
    """Every page by SQLite's own means; a copy of the bytes could catch a write half done."""
    with (
        closing(read_connection(file)) as source,
        closing(sqlite3.connect(to)) as target,
    ):
        target.execute("pragma synchronous=full")
        source.backup(target)
        # One file that is whole by itself, also in a folder that can't be written.
        target.execute("pragma journal_mode=delete")


def daily(file: Path, day: date) -> Checked | None:
    """The copy of this day, unless there is one; older ones go. None if there was nothing to do."""
    folder = file.parent / COPIES
    to = folder / f"day-{day.isoformat()}.db"
    if not file.exists() or to.exists():
        return None
    found = back_up(file, to)
    with told(file.parent):
        mended(file, folder, found.pictures)
    for old in (*past(folder, day), *cut_off(file.parent, day)):
        old.unlink(missing_ok=True)
    for picture in unnamed(folder, found.pictures, day):
        picture.unlink(missing_ok=True)
    return found


def unnamed(folder: Path, pictures: Collection[str], day: date) -> list[Path]:
    """Pictures in the folder of copies that no copy has named for 14 days, unless one can't be read."""
    there = pictures_in(folder / PHOTOS)
    if not there - set(pictures):
        return []
    looked = [checked(f) for f in folder.glob("*.db")]
    if any(c.faults for c in looked):
        return []
    named = set(pictures).union(*(c.pictures for c in looked))
    files = [picture_file(folder / PHOTOS, d) for d in sorted(there - named)]
    return [f for f in files if _before(f, day, KEPT_DAYS)]


def cut_off(folder: Path, day: date) -> list[Path]:
    """What programs that were killed on another day have left half done."""
    parts = [*folder.glob(".trial-*"), *folder.rglob(".part-*")]
    return [f for f in parts if _before(f, day)]


def _before(file: Path, day: date, days: int = 1) -> bool:
    return datetime.fromtimestamp(file.stat().st_mtime, UTC).date() < day - timedelta(days=days)


def before_migration(file: Path, newest: str) -> Path:
    """A copy of the logbook as it is before it gets its newest form.

    A migration that was cut off has left one already; only what differs from it is copied again.
    """
    names = (f"before-{newest}{end}.db" for end in ("", *(f"-{n}" for n in range(2, 100))))
    stands = checked(file).digest
    for name in names:
        to = file.parent / COPIES / name
        if not to.exists():
            _copied(file, to)
            break
        if checked(to).digest == stands:
            break
    return to


def past(folder: Path, day: date) -> list[Path]:
    """Daily copies that may go: 14 days old or older, and 14 others are newer.

    The second holds when a clock has been wrong: a leap of years must not empty the folder.
    """
    made = sorted(f for f in folder.glob("day-*.db") if DAY.fullmatch(f.name))
    oldest = (day - timedelta(days=KEPT_DAYS)).isoformat()
    return [f for f in made[:-KEPT_DAYS] if f.stem.removeprefix("day-") <= oldest]


def stamped(folder: Path, kind: str, now: datetime) -> Path:
    """A free name for a copy made now."""
    stem = f"{kind}-{now.astimezone(UTC).strftime(STAMP)}"
    names = (folder / COPIES / f"{stem}{end}.db" for end in ("", *(f"-{n}" for n in range(2, 100))))
    return next(name for name in names if not name.exists())
