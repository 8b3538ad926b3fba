"""Keeps entries: append, read all, read since. Thin: what entries mean is said elsewhere."""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from uuid import UUID

from sqlalchemy import Connection, Engine, func, select
from sqlalchemy.dialects.sqlite import insert
from sqlalchemy.exc import DBAPIError

from tankward.room.codec import Unreadable, decode, encode
from tankward.room.entries.base import Entry, tag

from . import database, schema
from .backup import before_migration
from .faults import StoreFault, explain
from .parts import fsync_folder


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

    def append(self, entries: Iterable[Entry]) -> list[str]:
        """Keep entries, all or none; the ids that were new. One that is there already is left as it is.

        Raises
        ------
        StoreFault
            If it can't be written; then nothing was.
        """
        rows = [_row(entry) for entry in entries]
        if not rows:
            return []
        self.make()
        if self.read_only:
            raise StoreFault(self.read_only)
        with self._writing() as connection:
            return [new for row in rows for new in _insert(connection, row)]

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


def _row(entry: Entry) -> dict[str, Any]:
    kind = type(entry)
    if str(UUID(entry.id)) != entry.id:
        raise ValueError(f"{entry.id} is not an id in its one spelling")
    return {
        "id": entry.id,
        "at": entry.at,
        "tank": entry.tank,
        "kind": tag(kind),
        "version": entry.version,
        "body": encode(entry),
    }


def _insert(connection: Connection, row: dict[str, Any]) -> list[str]:
    table = schema.entry
    kept = insert(table).values(row).on_conflict_do_nothing(index_elements=["id"]).returning(table.c.id)
    return list(connection.execute(kept).scalars())
