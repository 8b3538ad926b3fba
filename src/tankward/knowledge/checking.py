"""What a field's type can't say: keys that resolve, numbers with units, parameters a kind of life needs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tankward.knowledge import joins, needs, sense
from tankward.knowledge.documents import Document, FactFault
from tankward.knowledge.known import Facts
from tankward.knowledge.records.base import Record
from tankward.knowledge.walk import rows_of

CHECKS = (sense.source_faults, sense.unit_faults, sense.order_faults, sense.use_faults, joins.faults)


def faults(documents: Iterable[Document], facts: Facts) -> Iterator[FactFault]:
    """Every fault, file by file."""
    documents = tuple(documents)
    for document in documents:
        for at, row in rows_of(document.record):
            for check in CHECKS:
                for where, wrong in check(row, facts):
                    yield FactFault(document.name, _at(at, where), wrong)
        yield from _of_thing(document, facts)
    yield from sense.name_faults(documents)


def _of_thing(document: Document, facts: Facts) -> Iterator[FactFault]:
    for at, wrong in (*joins.within(document.record, facts), *needs.faults(document.record, facts)):
        yield FactFault(document.name, at, wrong)
    for at, wrong in sense.twice(document.record):
        yield FactFault(document.name, at, wrong)


def _at(at: str, field: str) -> str:
    return ", ".join(x for x in (at, field) if x)


__all__ = ["Record", "faults"]
