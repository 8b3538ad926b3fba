"""Opening the logbook's file: trial write, journal, durability, migrations."""

from __future__ import annotations

import contextlib
import os
import sqlite3
import tempfile
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, QueuePool, create_engine, event, text

from . import schema

FILE = "logbook.db"
MIGRATIONS = Path(__file__).parent / "migrations"
WAIT_MS = 5000  # how long a second program waits for the first


def trial_journal(folder: Path) -> str:
    """The journal that works in this folder.

    Some file systems say yes to WAL and fail at the first write, so a write is tried.

    Raises
    ------
    OSError, sqlite3.Error
        If nothing at all can be written here.
    """
    handle, name = tempfile.mkstemp(prefix=".trial-", suffix=".db", dir=folder)
    os.close(handle)
    try:
        return next(mode for mode in ("wal", "delete") if _writes(name, mode, must=mode == "delete"))
    finally:
        for ending in ("", "-wal", "-shm", "-journal"):
            with contextlib.suppress(FileNotFoundError):
                Path(name + ending).unlink()


def _writes(name: str, mode: str, *, must: bool) -> bool:
    try:
        with contextlib.closing(sqlite3.connect(name, timeout=WAIT_MS / 1000)) as trial:
            (got,) = trial.execute(f"pragma journal_mode={mode}").fetchone()
            trial.execute("create table if not exists trial (a integer)")
            trial.execute("insert into trial values (1)")
            trial.commit()
            return bool(got == mode)
    except sqlite3.Error:
        if must:
            raise
        return False


def engine_for(file: Path, *, read_only: bool = False) -> Engine:
    """An engine whose every commit is on the disk before it returns."""
    engine = create_engine(
        "sqlite://",
        creator=lambda: _connect(file, read_only=read_only),
        poolclass=QueuePool,
        pool_size=4,
        max_overflow=40,
    )

    # The driver would begin late and commit before a CREATE; we begin ourselves, writers at once.
    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        connection.exec_driver_sql(connection.get_execution_options().get("begin", "begin"))

    return engine


def _connect(file: Path, *, read_only: bool) -> sqlite3.Connection:
    raw = sqlite3.connect(
        _uri(file, read_only=read_only),
        uri=True,
        timeout=WAIT_MS / 1000,
        isolation_level=None,
        check_same_thread=False,
    )
    raw.execute(f"pragma busy_timeout={WAIT_MS}")
    # Extra: without WAL, the removed journal too must be surely gone before a commit returns.
    raw.execute("pragma synchronous=extra")
    return raw


def _uri(file: Path, *, read_only: bool) -> str:
    # A folder that can't be written can't hold WAL's shared memory; with no WAL pending the file is whole.
    if not read_only:
        return file.as_uri()
    return f"{file.as_uri()}?mode=ro{'' if _pending(file) else '&immutable=1'}"


def _pending(file: Path) -> bool:
    wal = file.with_name(file.name + "-wal")
    return wal.exists() and wal.stat().st_size > 0


def read_connection(file: Path) -> sqlite3.Connection:
    """A connection that only reads, beside whoever writes."""
    fixed = not os.access(file.parent, os.W_OK) and not _pending(file)
    uri = f"{file.absolute().as_uri()}?mode=ro{'&immutable=1' if fixed else ''}"
    return sqlite3.connect(uri, uri=True, timeout=WAIT_MS / 1000)


def revision(connection: Connection) -> str:
    """The migration at which the file stands; "" for an empty one."""
    there = connection.execute(text("select 1 from sqlite_master where name = 'alembic_version'")).first()
    return str(connection.execute(text("select version_num from alembic_version")).scalar()) if there else ""


def older(stands: str) -> bool:
    """Whether the file needs migrations that this program has."""
    return stands < schema.NEWEST


def migrate(connection: Connection) -> None:
    """Bring the table to the newest form, in the transaction that the caller holds."""
    # 0.1 s of imports that a file in its newest form never pays.
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.attributes["connection"] = connection
    command.upgrade(config, "head")


def journal(file: Path, mode: str) -> None:
    """Set the journal of a new file."""
    with contextlib.closing(sqlite3.connect(file, timeout=WAIT_MS / 1000)) as raw:
        raw.execute(f"pragma journal_mode={mode}")


def generation(connection: Connection) -> int:
    """How often a copy was put back here. What was read under another number is out of date."""
    return int(connection.exec_driver_sql("pragma user_version").scalar() or 0)


def facts_of(connection: Connection) -> dict[str, Any]:
    """What the file says of itself, for a fault report."""
    row = connection.execute(text("select count(*), coalesce(max(seq), 0) from entry")).one()
    return {"entries": row[0], "last": row[1], "revision": revision(connection)}
