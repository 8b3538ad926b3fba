"""Read files into one value: things by id, tables end to end, sources of all files in one namespace."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from pathlib import Path
from typing import TypeVar

from tankward.knowledge.documents import THINGS, TOPICS, Document, FactFault
from tankward.knowledge.known import Facts
from tankward.knowledge.records.base import Record, Source
from tankward.knowledge.records.feeding import Feeding
from tankward.knowledge.records.keeping import Hygiene
from tankward.knowledge.records.notes import Tables
from tankward.knowledge.records.water import Water

R = TypeVar("R", bound=Record)


def digest(folder: Path) -> str:
    """A hash of the facts, the same on every machine."""
    total = hashlib.sha256()
    for file in sorted(folder.rglob("*.toml")):
        total.update(file.relative_to(folder).as_posix().encode())
        total.update(file.read_bytes())
    return total.hexdigest()[:16]


def merged(documents: Iterable[Document], version: str, digest: str) -> Facts:
    """One value of all documents. Two sources under one key stop the load."""
    documents = tuple(documents)
    tables = _joined(
        Tables, (d.record for d in documents if d.folder not in THINGS and d.folder not in TOPICS)
    )
    return Facts(
        version=version,
        digest=digest,
        **{folder: _things(documents, folder) for folder in THINGS},  # type: ignore[arg-type]
        sources=_sources(documents),
        contexts={row.id: row for row in tables.context},
        structures={row.id: row for row in tables.structure},
        tank={row.id: row for row in tables.tank},
        conversion={row.id: row for row in tables.conversion},
        filter_effects={row.word: row for row in tables.filter_effect},
        oxygen_effects={row.word: row for row in tables.oxygen_effect},
        kits={row.id: row for row in tables.kit},
        classes={row.id: row for row in tables.sensitivity_class},
        host_tags={row.id: row.finer for row in tables.host_tag},
        hygiene=_joined(Hygiene, (d.record for d in documents if d.folder == "hygiene")),
        feeding=_joined(Feeding, (d.record for d in documents if d.folder == "feeding")),
        water=_joined(Water, (d.record for d in documents if d.folder == "water")),
        tables=tables,
    )


def _things(documents: Iterable[Document], folder: str) -> dict[str, Record]:
    return {getattr(d.record, "id"): d.record for d in documents if d.folder == folder}  # noqa: B009


def _joined(kind: type[R], records: Iterable[Record]) -> R:
    """Rows of the same table one after another; a single record and a mapping from whichever file has it."""
    whole: dict[str, object] = {}
    for record in records:
        for field in kind.__struct_fields__:
            here = getattr(record, field)
            if not here:
                continue
            before = whole.get(field)
            if isinstance(here, tuple):
                whole[field] = (*(before or ()), *here)  # type: ignore[misc]
            elif isinstance(here, dict):
                whole[field] = {**(before or {}), **here}  # type: ignore[dict-item]
            else:
                whole[field] = here
    return kind(**whole)


def _sources(documents: Iterable[Document]) -> dict[str, Source]:
    sources: dict[str, Source] = {}
    for document in documents:
        for key, source in document.sources.items():
            if key in sources and sources[key] != source:
                raise FactFault(document.name, f"sources.{key}", "stands in another file with other content")
            sources[key] = source
    return sources
