"""The keeper's data, whole: copies, putting one back, looking whether all is well."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from pathlib import Path

import msgspec

from tankward.model.run import compiler_there
from tankward.quantities.faults import BadInput
from tankward.room.time import day_of
from tankward.store import backup, restore
from tankward.store.check import Checked, checked
from tankward.store.faults import StoreFault
from tankward.store.photos import COPIES, faults_of
from tankward.store.photos import FOLDER as PHOTOS
from tankward.store.restore import PutBack

from .desk import Desk

AHEAD = timedelta(hours=26)  # no two places on earth tell days further apart


class CopyMade(msgspec.Struct, frozen=True, kw_only=True):
    """A copy that was opened and replayed."""

    file: Path
    found: Checked


class CopyChecked(msgspec.Struct, frozen=True, kw_only=True):
    """A copy with what a look into it found."""

    copy: backup.Copy
    found: Checked


class Health(msgspec.Struct, frozen=True, kw_only=True):
    """The logbook and its copies, each opened and replayed."""

    logbook: Checked
    copies: tuple[CopyChecked, ...]
    ahead: int  # entries that tell a later time than now
    read_only: str = ""
    photos: Mapping[str, str] = {}  # digest -> "missing" or "damaged", of the logbook's
    copied: Mapping[str, str] = {}  # the same of the copies'
    slow: bool = False  # there is nothing here to compile forecasts with

    @property
    def faults(self) -> tuple[str, ...]:
        copies = (f"the copy {c.copy.name}: {c.found.faults[0]}" for c in self.copies if c.found.faults)
        here = (f"the photo {digest[:12]} is {what}" for digest, what in self.photos.items())
        there = (f"the copy of the photo {digest[:12]} is {what}" for digest, what in self.copied.items())
        return (*self.logbook.faults, *copies, *here, *there)


def back_up(desk: Desk, now: datetime, to: Path | None = None) -> CopyMade:
    """Copy the logbook while programs may be writing to it; into the folder of copies if not told where.

    Raises
    ------
    BadInput
        If there is no logbook yet.
    StoreFault
        If the copy can't be written or isn't whole; then there is none.
    """
    _there(desk)
    file = backup.stamped(desk.folder, "hand", now) if to is None else to.absolute()
    if file.is_dir() or not (file.suffix or file.exists()):
        file = file / backup.stamped(desk.folder, "tankward", now).name
    return CopyMade(file=file, found=backup.back_up(desk.store.file, file))


def copies(desk: Desk) -> list[backup.Copy]:
    """The copies in the folder, newest first."""
    return backup.copies(desk.folder)


def cant_open(desk: Desk) -> str:
    """Why the logbook can't be opened; "" if it can. Then the desk knows too whether it may be written."""
    try:
        desk.store.last()
    except StoreFault as fault:
        return str(fault)
    return ""


def copy_named(desk: Desk, word: str) -> Path:
    """The copy in the folder that is called so, or is of that day.

    Raises
    ------
    BadInput
        Listing the copies that there are.
    """
    names = {c.name: c.file for c in copies(desk)}
    for name in (word, f"day-{word}", word.removesuffix(".db")):
        if name in names:
            return names[name]
    known = ", ".join(list(names)[:8])
    raise BadInput("copy", word, f"is no copy. {f'There are {known}.' if known else 'There is none yet.'}")


def copy_or_file(desk: Desk, word: str) -> Path:
    """A copy in the folder, or one that was put into a file elsewhere.

    Raises
    ------
    BadInput
        If it is neither.
    """
    file = Path(word).expanduser()
    return file.absolute() if file.suffix == ".db" and file.is_file() else copy_named(desk, word)


def put_back(desk: Desk, copy: Path, now: datetime) -> PutBack:
    """Make the logbook what a copy holds; the one that is there is kept first.

    Raises
    ------
    StoreFault
        If the copy isn't whole or the present logbook can't be kept; then nothing was changed.
    """
    cant_open(desk)  # such a logbook may be replaced; one that may only be read may not
    if desk.read_only:
        raise StoreFault(desk.read_only)
    done = restore.put_back(desk.folder, copy, now)
    desk.close()
    return done


def check(desk: Desk, now: datetime) -> Health:
    """Open, read and replay the logbook and every copy."""
    logbook = checked(desk.store.file) if desk.store.file.exists() else Checked()
    entries = [] if logbook.faults else desk.entries()
    looked = tuple(CopyChecked(copy=c, found=checked(c.file)) for c in copies(desk))
    # A copy may be older than the removal of a photo: that one is gone on purpose.
    wanted = frozenset().union(*(c.found.pictures for c in looked)) - logbook.gone
    return Health(
        logbook=logbook,
        copies=looked,
        ahead=sum(e.at > now + AHEAD for e in entries),
        read_only=desk.read_only,
        photos=faults_of(desk.store.pictures, logbook.pictures),
        copied=faults_of(desk.folder / COPIES / PHOTOS, wanted),
        slow=not compiler_there(),
    )


def keep_daily(desk: Desk, now: datetime, zone: str) -> str:
    """The day's copy, if it isn't there yet; "" or a sentence why there is none."""
    try:
        desk.store.last()  # opens, and so knows whether it may be written
        if not desk.read_only:
            desk.store.sweep()
            backup.daily(desk.store.file, day_of(now, zone))
    except StoreFault as fault:
        return f"There is no copy of today. {fault}"
    return ""


def _there(desk: Desk) -> None:
    if not desk.store.file.exists():
        raise BadInput("room", str(desk.folder), "holds no logbook yet, so there is nothing to copy.")
