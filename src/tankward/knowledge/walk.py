"""Every record inside a record, with the words for its place."""

from __future__ import annotations

from collections.abc import Iterator

from tankward.knowledge.records.base import Record


def rows_of(record: Record, at: str = "") -> Iterator[tuple[str, Record]]:
    """The record itself and all in it: ("regimen row 4", row)."""
    yield at, record
    for field in record.__struct_fields__:
        value = getattr(record, field)
        place = ", ".join(x for x in (at, field) if x)
        if isinstance(value, Record):
            yield from rows_of(value, place)
        elif isinstance(value, tuple):
            for number, row in enumerate(value, 1):
                if isinstance(row, Record):
                    yield from rows_of(row, f"{place} row {number}")
