"""Entries as rows of the table."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from sqlalchemy import Connection
from sqlalchemy.dialects.sqlite import insert

from tankward.room.codec import encode
from tankward.room.entries.base import Entry, tag

from . import schema


def row_of(entry: Entry) -> dict[str, Any]:
    """One entry as its row.

    Raises
    ------
    ValueError
        If its id is in another spelling.
    """
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


def inserted(connection: Connection, row: dict[str, Any]) -> list[str]:
    """Its id if it was new; one that is there already is left as it is."""
    table = schema.entry
    kept = insert(table).values(row).on_conflict_do_nothing(index_elements=["id"]).returning(table.c.id)
    return list(connection.execute(kept).scalars())
