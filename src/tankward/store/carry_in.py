"""Reading an export that may come from anywhere. Nothing is unpacked to the disk; it is all taken or not."""

from __future__ import annotations

import hashlib
import zipfile
import zlib
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from typing import IO
from uuid import UUID

import msgspec

from tankward.quantities.faults import BadInput
from tankward.room.codec import Unreadable, decode
from tankward.room.entries.base import Entry
from tankward.room.photos import pictures_of
from tankward.room.replay import replay

from .carry_form import (
    ENTRIES,
    FORM,
    LONGEST,
    MANIFEST,
    MIB,
    MOST,
    MOST_IN_ALL,
    NAMES,
    PICTURE,
    SCHEMA,
    WHAT,
    Manifest,
)
from .photos import Picture
from .picture import MOST_KEPT, digest_of, is_kept_form

PACKED = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
ENCRYPTED = 0x1
# Deflate packs a page of zeros about 1,000 : 1; a logbook comes to some 20 : 1.
MOST_PACKED = 200
SMALL = MIB  # below this the ratio says nothing
BROKEN = (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, RuntimeError, UnicodeDecodeError)


class CarriedIn(msgspec.Struct, frozen=True, kw_only=True):
    """What an export holds. Its pictures are read one by one: they may be more than the memory holds."""

    manifest: Manifest
    entries: list[Entry]
    digests: frozenset[str]  # of its pictures
    packed: IO[bytes]
    name: str

    def pictures(self, wanted: Collection[str]) -> Iterator[Picture]:
        """Those of its pictures that are wanted.

        Raises
        ------
        BadInput
            At the first one that is not what it is called by, or no picture as Tankward keeps them.
        """
        with _told(self.name), zipfile.ZipFile(self.packed) as opened:
            for digest in sorted(self.digests):
                content = _picture(opened, digest, self.name)
                if digest in wanted:
                    yield Picture(digest, content)


def _picture(opened: zipfile.ZipFile, digest: str, name: str) -> bytes:
    with opened.open(f"photos/{digest}.jpg") as part:
        content = part.read(MOST_KEPT + 1)
    if digest_of(content) != digest:
        raise BadInput("import", name, f"holds a photo that was changed: {digest[:12]}.")
    if not is_kept_form(content):
        raise BadInput("import", name, f"holds a photo that Tankward did not make: {digest[:12]}.")
    return content


def carry_in(packed: IO[bytes], name: str) -> CarriedIn:
    """What an export holds.

    Parameters
    ----------
    packed
        The file, open at its beginning.
    name
        What to call it in a sentence.

    Raises
    ------
    BadInput
        If it is no whole export of a form that this program knows. Nothing was taken from it.
    """
    with _told(name), zipfile.ZipFile(packed) as opened:
        _only_what_belongs(opened, name)
        manifest = _manifest(opened, name)
        _whole(opened, SCHEMA)
        entries = list(_entries(opened, manifest, name))
        digests = frozenset(m[1] for n in opened.namelist() if (m := PICTURE.fullmatch(n)))
    _makes_a_room(entries, name)
    _pictures_agree(entries, digests, manifest, name)
    return CarriedIn(manifest=manifest, entries=entries, digests=digests, packed=packed, name=name)


def _pictures_agree(entries: list[Entry], digests: frozenset[str], manifest: Manifest, name: str) -> None:
    wanted = pictures_of(entries)
    if missing := sorted(wanted - digests - set(manifest.lacking)):
        raise BadInput("import", name, f"lacks a photo that its entries name: {missing[0][:12]}.")
    if strange := sorted(digests - wanted):
        raise BadInput("import", name, f"holds a photo that no entry names: {strange[0][:12]}.")
    if len(digests) != manifest.photos:
        raise BadInput(
            "import", name, "does not hold what its manifest says; part of it is missing or changed."
        )


@contextmanager
def _told(name: str) -> Iterator[None]:
    try:
        yield
    except BadInput:
        raise
    except BROKEN:
        raise BadInput("import", name, "is not a whole export; part of it is missing or damaged.") from None


def _only_what_belongs(opened: zipfile.ZipFile, name: str) -> None:
    """Names, sizes and packing, before a byte is unpacked."""
    rows = opened.infolist()
    names = [row.filename for row in rows]
    strange = [n for n in names if n not in NAMES and not PICTURE.fullmatch(n)]
    if strange:
        raise BadInput("import", name, f'holds "{strange[0][:60]}", which does not belong in an export.')
    if sorted(n for n in names if n in NAMES) != sorted(NAMES) or len(set(names)) != len(names):
        raise BadInput("import", name, f"must hold {', '.join(NAMES)}, each once.")
    for row in rows:
        if row.flag_bits & ENCRYPTED or row.compress_type not in PACKED:
            raise BadInput("import", name, "is packed in a way that no export is.")
        if row.file_size > MOST.get(row.filename, MOST_KEPT) or _bloated(row):
            raise BadInput("import", name, "unpacks to more than any logbook holds.")
    if sum(row.file_size for row in rows) > MOST_IN_ALL:
        raise BadInput("import", name, "unpacks to more than any logbook holds.")


def _bloated(row: zipfile.ZipInfo) -> bool:
    return row.file_size > SMALL and row.file_size > MOST_PACKED * max(row.compress_size, 1)


def _manifest(opened: zipfile.ZipFile, name: str) -> Manifest:
    try:
        form = msgspec.json.decode(opened.read(MANIFEST), type=_Form)
        if form.what != WHAT:
            raise BadInput("import", name, "is not the export of a logbook.")
        if form.form > FORM:
            raise BadInput("import", name, "was written by a newer Tankward. Use the newest for this file.")
        return msgspec.json.decode(opened.read(MANIFEST), type=Manifest)
    except msgspec.DecodeError:
        raise BadInput("import", name, f"has a {MANIFEST} that is none.") from None


class _Form(msgspec.Struct):
    what: str
    form: int


def _whole(opened: zipfile.ZipFile, member: str) -> None:
    """Its bytes agree with the sum that the zip names."""
    with opened.open(member) as part:
        while part.read(MIB):
            pass


def _entries(opened: zipfile.ZipFile, manifest: Manifest, name: str) -> Iterator[Entry]:
    found, number = hashlib.sha256(), 0
    seen: set[str] = set()
    with opened.open(ENTRIES) as lines:
        while line := lines.readline(LONGEST):
            number += 1
            found.update(line)
            yield _entry(line, f"line {number} of {ENTRIES}", seen)
    if number != manifest.entries or found.hexdigest() != manifest.sha256:
        raise BadInput(
            "import", name, "does not hold what its manifest says; part of it is missing or changed."
        )


def _entry(line: bytes, where: str, seen: set[str]) -> Entry:
    try:
        entry = decode(line)
    except (Unreadable, RecursionError) as fault:
        raise BadInput("import", where, f"can't be used: {fault}.") from None
    if not line.endswith(b"\n"):
        raise BadInput("import", where, "has no end.")
    if entry.at.tzinfo is None or not _is_id(entry.id):
        raise BadInput("import", where, "has no id in its one spelling, or an instant without a zone.")
    if entry.id in seen:
        raise BadInput("import", where, f"has the id of another line: {entry.id}.")
    seen.add(entry.id)
    return entry


def _is_id(text: str) -> bool:
    try:
        return str(UUID(text)) == text
    except ValueError:
        return False


def _makes_a_room(entries: list[Entry], name: str) -> None:
    try:
        replay(entries)
    except Exception as fault:  # whatever it is, these entries make no room
        raise BadInput("import", name, f"holds entries that make no room ({type(fault).__name__}).") from None
