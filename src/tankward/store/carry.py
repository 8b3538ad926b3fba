"""The whole logbook as one file to carry away: lines of JSON, their schema, a manifest, the photos."""

from __future__ import annotations

import hashlib
import zipfile
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import IO

import msgspec

from tankward.room.entries.base import Entry
from tankward.room.photos import pictures_of

from .carry_form import ENTRIES, FORM, MANIFEST, SCHEMA, WHAT, Manifest, schema_text
from .check import lines
from .photos import faults_of, picture_file

FIRST_DAY = (1980, 1, 1, 0, 0, 0)  # the same entries give the same bytes, but for the moment in the manifest


class Versions(msgspec.Struct, frozen=True, kw_only=True):
    """What the entries were written with."""

    program: str
    facts: str
    facts_digest: str


def carry_out(
    entries: Iterable[Entry], pictures: Path, to: IO[bytes], versions: Versions, now: datetime
) -> Manifest:
    """Write the export.

    Parameters
    ----------
    entries
        In any order; they are written oldest first, those of one instant by id.
    pictures
        The folder in which those of their photos lie.
    to
        Where the zip goes.
    versions
        Of program and facts.
    now
        The moment that the manifest names.
    """
    told = list(entries)
    wanted = sorted(pictures_of(told))
    lacking = tuple(faults_of(pictures, wanted))
    found = lines(told)
    body = "".join(f"{line}\n" for line in found).encode()
    manifest = Manifest(
        what=WHAT,
        form=FORM,
        program=versions.program,
        facts=versions.facts,
        facts_digest=versions.facts_digest,
        made=now.replace(microsecond=0),
        entries=len(found),
        sha256=hashlib.sha256(body).hexdigest(),
        photos=len(wanted) - len(lacking),
        lacking=lacking,
    )
    head = msgspec.json.format(msgspec.json.encode(manifest), indent=1) + b"\n"
    with zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in ((MANIFEST, head), (SCHEMA, schema_text()), (ENTRIES, body)):
            packed.writestr(_named(name), content)
        for digest in sorted(set(wanted) - set(lacking)):
            content = picture_file(pictures, digest).read_bytes()
            # A picture is packed as small as it gets already.
            packed.writestr(_named(f"photos/{digest}.jpg", zipfile.ZIP_STORED), content)
    return manifest


def _named(name: str, packing: int = zipfile.ZIP_DEFLATED) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name, FIRST_DAY)
    info.compress_type = packing
    info.external_attr = 0o644 << 16
    return info
