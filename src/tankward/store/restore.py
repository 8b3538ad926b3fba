"""Putting a copy back. What is there now is kept first, and other programs may have it open."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from datetime import datetime
from pathlib import Path

import msgspec

from tankward.room.entries.base import tag
from tankward.room.entries.photos import PhotoRemoved

from . import schema
from .backup import back_up, copy_pages, stamped
from .check import Checked, checked
from .database import FILE, WAIT_MS, engine_for, migrate, older, revision
from .faults import StoreFault
from .parts import fsync_file, fsync_folder, part_beside, told
from .photos import COPIES, Picture, Staged, carried, faults_of, folder_of, pictures_in, sound, staged
from .photos import FOLDER as PHOTOS

COLUMNS = "id, at, tank, kind, version, body"


class PutBack(msgspec.Struct, frozen=True, kw_only=True):
    """A copy put back, and where the logbook that stood there is kept (None if there was none)."""

    found: Checked
    kept: Path | None
    lacking: int = 0  # pictures that the copy names and nobody has whole


def put_back(folder: Path, copy: Path, now: datetime) -> PutBack:
    """Make the logbook of a folder what a copy holds.

    Raises
    ------
    StoreFault
        If the copy is not whole or is newer than this program, or if the logbook that is there can't
        be kept first; then nothing was changed.
    """
    found = checked(copy)
    if found.faults:
        raise StoreFault(f"Nothing was changed: the copy is not whole. {found.faults[0]}.")
    file = folder / FILE
    with told(folder):
        folder.mkdir(parents=True, exist_ok=True)
        with part_beside(file) as part:
            copy_pages(copy, part)
            _up_to_date(part, copy)
            there = folder_of(copy)
            here = folder_of(file)
            lacking = [d for d in sorted(found.pictures) if sound(here, d) is None]
            with staged(here, _pictures(there, lacking)) as waiting:
                kept = _exchanged(file, part, waiting, now)
        held = checked(file).pictures
    return PutBack(found=found, kept=kept, lacking=len(faults_of(folder_of(file), held)))


def _pictures(folder: Path, digests: Iterable[str]) -> Iterator[Picture]:
    for digest in digests:
        if (content := sound(folder, digest)) is not None:
            yield Picture(digest, content)


def _up_to_date(part: Path, copy: Path) -> None:
    engine = engine_for(part)
    try:
        with engine.begin() as connection:
            stands = revision(connection)
            if stands > schema.NEWEST:
                raise StoreFault(f"Nothing was changed: {copy.name} was written by a newer Tankward.")
            if older(stands):
                migrate(connection)
    finally:
        engine.dispose()


def _exchanged(file: Path, part: Path, waiting: Staged, now: datetime) -> Path | None:
    if not file.exists():
        waiting.named()
        _moved_in(part, file)
        return None
    if checked(file).faults:
        # Nobody can say which pictures the damaged one names, so all are kept with it.
        carried(folder_of(file), file.parent / COPIES / PHOTOS, pictures_in(folder_of(file)))
        waiting.named()
        return _beside(file, part, now)
    kept = stamped(file.parent, "before-restore", now)
    with _alone(file, part) as connection:
        # Nobody can write between this copy and the exchange.
        back_up(file, kept)
        waiting.named()
        _rows_exchanged(connection)
    return kept


@contextmanager
def _alone(file: Path, part: Path) -> Iterator[sqlite3.Connection]:
    with closing(sqlite3.connect(file, timeout=WAIT_MS / 1000, isolation_level=None)) as connection:
        connection.execute("pragma synchronous=full")
        connection.execute("attach ? as other", (str(part),))
        connection.execute("begin immediate")
        try:
            yield connection
            connection.execute("commit")
        except BaseException:
            connection.rollback()
            raise


def _rows_exchanged(connection: sqlite3.Connection) -> None:
    """In the one transaction that is open: either all rows are the copy's, or none.

    What was removed for good stays so: an older copy brings no such photo back.
    """
    connection.execute(
        f"insert or ignore into other.entry ({COLUMNS}) select {COLUMNS} from main.entry "
        "where main.entry.kind = ? order by main.entry.seq",
        (tag(PhotoRemoved),),
    )
    for name in ("update", "delete"):
        connection.execute(f"drop trigger entry_no_{name}")
    connection.execute("delete from main.entry")
    connection.execute(
        f"insert into main.entry ({COLUMNS}) select {COLUMNS} from other.entry order by other.entry.seq"
    )
    for trigger in schema.TRIGGERS:
        connection.execute(trigger)
    (number,) = connection.execute("pragma main.user_version").fetchone()
    connection.execute(f"pragma main.user_version = {number + 1}")


def _beside(file: Path, part: Path, now: datetime) -> Path:
    """A damaged logbook can't be copied as a logbook: its bytes are moved aside as they are."""
    kept = stamped(file.parent, "damaged", now)
    kept.parent.mkdir(exist_ok=True)
    for ending in ("-wal", "-shm", "-journal", ""):
        side = file.with_name(file.name + ending)
        if side.exists():
            side.replace(kept.with_name(kept.name + ending))
    _moved_in(part, file)
    return kept


def _moved_in(part: Path, file: Path) -> None:
    fsync_file(part)
    part.replace(file)
    fsync_folder(file.parent)
