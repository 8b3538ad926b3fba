"""The export's form: what lies in the file, and its published schema (docs/export.schema.json)."""

from __future__ import annotations

import functools
import re
from datetime import datetime
from typing import Any, Union

import msgspec

from tankward.room.codec import kinds

FORM = 2  # grows when an older program could no longer read the file: 2 has photos
MANIFEST, SCHEMA, ENTRIES = "manifest.json", "schema.json", "entries.jsonl"
NAMES = (MANIFEST, SCHEMA, ENTRIES)
PICTURE = re.compile(r"photos/([0-9a-f]{64})\.jpg")  # each under the SHA-256 of its bytes
WHAT = "tankward logbook"
MIB = 1024 * 1024
MOST = {MANIFEST: MIB, SCHEMA: 16 * MIB, ENTRIES: 512 * MIB}  # a decade of twelve tanks is about 30 MiB
MOST_IN_ALL = 4096 * MIB  # unpacked, with some ten thousand photos
LONGEST = 4 * MIB  # one entry; the longest that the program writes is a course, some 100 kB


class Manifest(msgspec.Struct, frozen=True, kw_only=True):
    """Who wrote the export, from which facts, and what must be in it."""

    what: str
    form: int
    program: str
    facts: str
    facts_digest: str
    made: datetime
    entries: int
    sha256: str  # of entries.jsonl
    photos: int = 0  # pictures in the file
    lacking: tuple[str, ...] = ()  # digests of pictures that were gone or damaged when it was made


def schema() -> dict[str, Any]:
    """The JSON Schema of one line of entries.jsonl."""
    known = kinds()
    union = Union[tuple(known[word] for word in sorted(known))]  # type: ignore[valid-type]  # noqa: UP007
    (found,), parts = msgspec.json.schema_components([union], ref_template="#/$defs/{name}")
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "One entry of a logbook"}
    return {**head, **found, "$defs": dict(sorted(parts.items()))}


@functools.cache
def schema_text() -> bytes:
    """The schema as it lies in the export and in the docs."""
    return msgspec.json.format(msgspec.json.encode(schema()), indent=1) + b"\n"
