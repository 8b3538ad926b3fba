"""Keeps entries: append, read all, read since. Thin: what entries mean is said elsewhere."""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Connection, Engine, func, select
from sqlalchemy.exc import DBAPIError

from tankward.room.codec import Unreadable, decode
from tankward.room.entries.base import Entry, tag
from tankward.room.entries.photos import PhotoAdded, PhotoRemoved
from tankward.room.photos import pictures_gone, pictures_of

from . import database, photos, schema
from .backup import before_migration
from .faults import StoreFault, explain
from .parts import fsync_folder
from .photos import COPIES, Picture
from .rows import inserted, row_of

OF_PHOTOS = (tag(PhotoAdded), tag(PhotoRemoved))


class Store:
    """The logbook of one folder. Nothing is made on the disk before the first entry or `make`."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder.absolute()
        self.file = self.folder / database.FILE
        self.read_only = ""  # not empty: why nothing can be written
        self._engine: Engine | None = None
        self._opening = threading.Lock()

    def make(self) -> None:
        """Make the folder and the file if they aren't there, after a trial write.

        Raises
        ------
        StoreFault
            If the folder can't be made or written.
        """
        with self._told():
            self.folder.mkdir(parents=True, exist_ok=True)
            if not self.file.exists():
                database.journal(self.file, database.trial_journal(self.folder))
                # The name of a new folder must outlive a power cut as its entries do.
                fsync_folder(self.folder)
                fsync_folder(self.folder.parent)
            self._open()

    def append(
        self,
        entries: Iterable[Entry],
        pictures: Iterable[Picture] = (),
        *,
        absent: Collection[str] = (),
    ) -> list[str]:
        """Keep entries, all or none; the ids that were new. One that is there already is left as it is.

        Parameters
        ----------
        entries
            What is kept.
        pictures
            Those of the photos among them. They are on the disk before an entry names them.
        absent
            Digests of pictures that nobody has any more; their entries are kept all the same.

        Raises
        ------
        StoreFault
            If it can't be written, or a picture is not there; then nothing was.
        """
        kept = list(entries)
        rows = [row_of(entry) for entry in kept]
        if not rows:
            return []
        self.make()
        if self.read_only:
            raise StoreFault(self.read_only)
        with self._told(), photos.staged(self.pictures, pictures) as waiting, self._writing() as connection:
            waiting.named()
            self._all_there(kept, connection, absent)
            return [new for row in rows for new in inserted(connection, row)]

    @property
    def pictures(self) -> Path:
        """The folder of pictures."""
        return photos.folder_of(self.file)

    def sweep(self) -> int:
        """Delete pictures that were removed for good, here and among the copies; the number that went.

        One that no entry names, left by a program that was killed or by a logbook that was replaced, goes to
        the copies: there it stays for some days.
        """
        if not self.file.exists() or not (self._left(None) and not self.read_only):
            return 0
        with self._writing() as connection:
            left = self._left(connection)
            if strays := left.get(self.pictures, set()) - pictures_gone(self._of_photos(connection)):
                copied = self.folder / COPIES / photos.FOLDER
                copied.parent.mkdir(exist_ok=True)
                photos.carried(self.pictures, copied, strays)
            for folder, digests in left.items():
                photos.dropped(folder, digests)
        return sum(map(len, left.values()))

    def _left(self, connection: Connection | None) -> dict[Path, set[str]]:
        copied = self.folder / COPIES / photos.FOLDER
        here, there = photos.pictures_in(self.pictures), photos.pictures_in(copied)
        if not here and not there:
            return {}
        told = self._of_photos(connection) if connection is not None else self.of_photos()
        found = {self.pictures: here - pictures_of(told), copied: there & pictures_gone(told)}
        return {folder: digests for folder, digests in found.items() if digests}

    def of_photos(self) -> list[Entry]:
        """The entries about photos alone."""
        with self._reading() as connection:
            return self._of_photos(connection)

    def pictures_named(self) -> frozenset[str]:
        """Digests of the pictures that must be here."""
        return pictures_of(self.of_photos()) if self.file.exists() else frozenset()

    def _of_photos(self, connection: Connection) -> list[Entry]:
        table = schema.entry.c
        rows = connection.execute(select(table.body).where(table.kind.in_(OF_PHOTOS))).scalars()
        return [self._decoded(body) for body in rows]

    def _all_there(self, entries: list[Entry], connection: Connection, absent: Collection[str]) -> None:
        """Nobody can delete a picture while this transaction is open: a sweep needs it too."""
        named = {e.digest for e in entries if isinstance(e, PhotoAdded)} - set(absent)
        if not named:
            return
        wanted = named & pictures_of([*self._of_photos(connection), *entries])
        if wanted - photos.pictures_in(self.pictures):
            raise StoreFault("The photo is not in the folder. Nothing was written; add it again.")

    def since(self, seq: int = 0) -> tuple[int, list[Entry]]:
        """Entries kept after the given one, in the order of keeping, and the number of the last.

        Raises
        ------
        StoreFault
            If the file can't be read.
        """
        if not self.file.exists():
            return 0, []
        with self._reading() as connection:
            table = schema.entry.c
            rows = connection.execute(
                select(table.seq, table.body).where(table.seq > seq).order_by(table.seq)
            ).all()
        return (rows[-1].seq if rows else seq), [self._decoded(row.body) for row in rows]

    def last(self) -> int:
        """The number of the newest entry; 0 for none."""
        if not self.file.exists():
            return 0
        with self._reading() as connection:
            return int(connection.execute(select(func.max(schema.entry.c.seq))).scalar() or 0)

    def generation(self) -> int:
        """Changes when a copy is put back; then everything must be read anew."""
        if not self.file.exists():
            return 0
        with self._reading() as connection:
            return database.generation(connection)

    def all(self) -> list[Entry]:
        """Every entry, in the order of keeping."""
        return self.since(0)[1]

    def close(self) -> None:
        if self._engine is not None:
            self._engine.dispose()
            self._engine = None

    def _decoded(self, body: str) -> Entry:
        try:
            return decode(str(body))  # a damaged page may hold anything
        except Unreadable as fault:
            raise StoreFault(f"{self.folder}: {fault}. Use the newest Tankward for this folder.") from None

    def _open(self) -> Engine:
        with self._opening:
            self._engine = self._engine or self._opened()
            return self._engine

    def _opened(self) -> Engine:
        writable = _can_write(self.file)
        engine = database.engine_for(self.file, read_only=not writable)
        if not writable:
            self.read_only = f"{self.folder} can only be read; nothing was written."
        self._up_to_date(engine, writable=writable)
        return engine

    def _up_to_date(self, engine: Engine, *, writable: bool) -> None:
        with engine.connect() as connection:
            stands = database.revision(connection)
        if stands > schema.NEWEST:
            self.read_only = f"{self.folder} was written by a newer Tankward, so here it can only be read."
        elif database.older(stands) and writable:
            if stands:
                before_migration(self.file, schema.NEWEST)
            with engine.execution_options(begin="begin immediate").begin() as connection:
                # Another program may have done it while this one waited.
                if database.older(database.revision(connection)):
                    database.migrate(connection)

    @contextmanager
    def _reading(self) -> Iterator[Connection]:
        with self._told(), self._open().connect() as connection:
            yield connection

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        with self._told(), self._open().execution_options(begin="begin immediate").begin() as connection:
            yield connection

    @contextmanager
    def _told(self) -> Iterator[None]:
        try:
            yield
        except (OSError, DBAPIError, sqlite3.Error) as fault:
            raise explain(self.folder, fault) from fault


def _can_write(file: Path) -> bool:
    return os.access(file, os.W_OK) and os.access(file.parent, os.W_OK)
