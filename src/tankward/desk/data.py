"""The keeper's data, whole: copies, putting one back, looking whether all is well, carrying it in and out."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from pathlib import Path
from typing import IO

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.room.entries.base import Entry
from tankward.room.entries.photos import PhotoAdded
from tankward.room.photos import pictures_of
from tankward.room.text import read_logbook, write_logbook
from tankward.room.time import day_of
from tankward.store import backup, restore
from tankward.store.carry import Versions, carry_out
from tankward.store.carry_form import Manifest
from tankward.store.carry_in import CarriedIn, carry_in
from tankward.store.check import Checked, checked
from tankward.store.faults import StoreFault
from tankward.store.photos import COPIES, faults_of, pictures_in
from tankward.store.photos import FOLDER as PHOTOS
from tankward.store.restore import PutBack

from .desk import Desk
from .strange import strange_names, unusable_names

ZIP = b"PK"
MOST_TEXT = 64 * 1024 * 1024  # bytes of a logbook in plain text
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

    @property
    def faults(self) -> tuple[str, ...]:
        copies = (f"the copy {c.copy.name}: {c.found.faults[0]}" for c in self.copies if c.found.faults)
        here = (f"the photo {digest[:12]} is {what}" for digest, what in self.photos.items())
        there = (f"the copy of the photo {digest[:12]} is {what}" for digest, what in self.copied.items())
        return (*self.logbook.faults, *copies, *here, *there)


class BroughtIn(msgspec.Struct, frozen=True, kw_only=True):
    """What an import added, and what was here already."""

    new: int
    known: int
    manifest: Manifest | None = None  # of an export; a logbook in plain text has none
    photos: int = 0  # pictures that came with what is new
    strange: tuple[str, ...] = ()  # kinds of animal and signs that no fact is about


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


def export(desk: Desk, to: IO[bytes], facts: Facts, program: str, now: datetime) -> Manifest:
    """Everything in one zip."""
    versions = Versions(program=program, facts=facts.version, facts_digest=facts.digest)
    return carry_out(desk.entries(), desk.store.pictures, to, versions, now)


def as_text(desk: Desk) -> str:
    """Everything as a logbook in plain text, which reads back whole."""
    return write_logbook(desk.entries())


def bring_in(desk: Desk, packed: IO[bytes], name: str, zone: str, facts: Facts) -> BroughtIn:
    """Keep what an export or a logbook in plain text holds: all of it or nothing.

    Parameters
    ----------
    desk
        The room, empty or not. An entry that is here already is kept once.
    packed
        The file at its beginning.
    name
        What to call it in a sentence.
    zone
        Of the lines of a text that names none.
    facts
        What is known here; names that it does not hold are told.

    Raises
    ------
    BadInput
        If the file can't be used, or tells an entry otherwise than the logbook here.
    """
    _writable(desk)
    carried, entries = _read(packed, name, zone)
    every = {e.id: e for e in desk.entries()}
    known = sum(e.id in every for e in entries)
    told_otherwise = [e for e in entries if e.id in every and every[e.id] != e]
    if told_otherwise:
        raise BadInput(
            "import", name, f"tells the entry {told_otherwise[0].id} otherwise than the logbook here."
        )
    if unusable := unusable_names(entries, facts):
        told = f"names {unusable[0]}, and no fact here is about it."
        raise BadInput("import", name, f"{told} Use the newest Tankward, or mend the name.")
    wanted = pictures_of([*every.values(), *(e for e in entries if e.id not in every)])
    if carried is None:
        _no_photo_lacks(desk, entries, wanted, name)
        new = desk.append(*entries)
        return BroughtIn(new=len(new), known=known, strange=strange_names(entries, facts))
    # Also those that are known: a picture that is lost here may be whole there.
    lacking = faults_of(desk.store.pictures, wanted & carried.digests)
    new = desk.append(*entries, pictures=carried.pictures(lacking), absent=carried.manifest.lacking)
    return BroughtIn(
        new=len(new), known=known, manifest=carried.manifest,
        photos=len(carried.digests & wanted), strange=strange_names(entries, facts),
    )  # fmt: skip


def _no_photo_lacks(desk: Desk, entries: list[Entry], wanted: frozenset[str], name: str) -> None:
    """A text carries no pictures: it may tell of photos only where they lie here already."""
    named = {e.digest for e in entries if isinstance(e, PhotoAdded)} & wanted
    if lacking := len(named - pictures_in(desk.store.pictures)):
        photos = "a photo" if lacking == 1 else f"{lacking} photos"
        told = f"tells of {photos}, and a text carries none. Take in the zip, or leave out its photo lines."
        raise BadInput("import", name, told)


def _read(packed: IO[bytes], name: str, zone: str) -> tuple[CarriedIn | None, list[Entry]]:
    begin = packed.read(len(ZIP))
    packed.seek(0)
    if begin == ZIP:
        carried = carry_in(packed, name)
        return carried, carried.entries
    try:
        text = packed.read(MOST_TEXT + 1).decode()
    except UnicodeDecodeError:
        raise _neither(name) from None
    entries = read_logbook(text, zone=zone) if len(text) <= MOST_TEXT and "\0" not in text else []
    if not entries:
        raise _neither(name)
    return None, entries


def _neither(name: str) -> BadInput:
    return BadInput("import", name, "is neither an export of Tankward nor a logbook in plain text.")


def _there(desk: Desk) -> None:
    if not desk.store.file.exists():
        raise BadInput("room", str(desk.folder), "holds no logbook yet, so there is nothing to copy.")


def _writable(desk: Desk) -> None:
    desk.store.last()  # opens, and so knows
    if desk.read_only:
        raise StoreFault(desk.read_only)
