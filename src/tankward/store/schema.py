"""The table of entries. Instants are UTC text that sorts, ids are UUIDs; the body is the whole entry."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from sqlalchemy import Column, Dialect, Integer, MetaData, Table, Text
from sqlalchemy.types import TypeDecorator

NEWEST = "0001"  # the newest migration; a test compares it with the folder


class Instant(TypeDecorator[datetime]):
    """An instant; one without a zone is refused, since nobody could say when it was."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> str | None:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"{value} has no zone")
        return value.astimezone(UTC).isoformat(timespec="microseconds")

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        return None if value is None else datetime.fromisoformat(value)


class Id(TypeDecorator[str]):
    """An entry's id in its one spelling, so that one entry can't be kept twice."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        return None if value is None else str(UUID(value))


metadata = MetaData()
entry = Table(
    "entry",
    metadata,
    Column("seq", Integer, primary_key=True, autoincrement=True),
    Column("id", Id, nullable=False, unique=True),
    Column("at", Instant, nullable=False, index=True),
    Column("tank", Text, nullable=False, index=True),
    Column("kind", Text, nullable=False),
    Column("version", Integer, nullable=False),
    Column("body", Text, nullable=False),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

# Nothing in a logbook is changed or removed, whoever writes to the file. A migration that rebuilds the table
# makes these anew.
TRIGGERS = tuple(
    f"create trigger entry_no_{what} before {what} on entry begin "
    "select raise(abort, 'the logbook only grows: write a correction'); end"
    for what in ("update", "delete")
)
