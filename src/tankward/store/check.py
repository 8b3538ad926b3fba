"""Is a logbook whole? Its pages, every entry, and the room that they amount to."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import msgspec

from tankward.room.codec import Unreadable, decode, encode
from tankward.room.entries.base import Entry, tag
from tankward.room.photos import pictures_gone, pictures_of
from tankward.room.replay import replay

from .database import read_connection

TOLD = 20  # faults that are named; the rest is counted


class Checked(msgspec.Struct, frozen=True, kw_only=True):
    """What was found in one file. Without faults it is whole."""

    entries: int = 0
    digest: str = ""  # the same only for the same entries, whatever file they lie in
    newest: datetime | None = None  # the latest instant that any entry tells
    pictures: frozenset[str] = frozenset()  # digests of those that must lie beside it
    gone: frozenset[str] = frozenset()  # digests of those that were removed for good
    faults: tuple[str, ...] = ()


def checked(file: Path) -> Checked:
    """Open a file, test its pages, read every entry, replay them all."""
    try:
        with closing(read_connection(file)) as connection:
            pages = [row[0] for row in connection.execute(f"pragma integrity_check({TOLD})")]
            rows = connection.execute(
                "select seq, id, at, tank, kind, body from entry order by seq"
            ).fetchall()
    except sqlite3.Error as fault:
        return Checked(faults=(f"{file.name} can't be opened: {fault}",))
    entries, faults = _decoded(rows)
    told = [f"{file.name}, pages: {page}" for page in pages if page != "ok"] + faults
    told += list(_replayed(entries)) if not told else []
    return Checked(
        entries=len(rows),
        digest=digest(entries),
        newest=max((e.at for e in entries), default=None),
        pictures=pictures_of(entries),
        gone=pictures_gone(entries),
        faults=tuple(_few(told)),
    )


def digest(entries: Iterable[Entry]) -> str:
    """A digest over everything that these entries say, in whatever order they come."""
    return hashlib.sha256("\n".join(lines(entries)).encode()).hexdigest()


def lines(entries: Iterable[Entry]) -> list[str]:
    """Entries as lines of JSON, oldest first."""
    return [encode(entry) for entry in sorted(entries, key=lambda e: (e.at, e.id))]


def _decoded(rows: Iterable[tuple[Any, ...]]) -> tuple[list[Entry], list[str]]:
    entries, faults = [], []
    for seq, *head, body in rows:
        try:
            entry = decode(str(body))  # a damaged page may hold anything
        except Unreadable as fault:
            faults.append(f"entry {seq}: {fault}")
            continue
        entries.append(entry)
        at = entry.at.astimezone(UTC).isoformat(timespec="microseconds")
        if head != [entry.id, at, entry.tank, tag(type(entry))]:
            faults.append(f"entry {seq}: its row and what it holds do not agree")
    return entries, faults


def _replayed(entries: Iterable[Entry]) -> Iterator[str]:
    try:
        replay(entries)
    except Exception as fault:  # whatever it is, this logbook does not make a room
        yield f"the entries do not make a room: {type(fault).__name__} {fault}"


def _few(faults: list[str]) -> list[str]:
    more = len(faults) - TOLD
    return [*faults[:TOLD], f"and {more} more"] if more > 0 else faults
