"""The keeper's data carried out and in: the export, the logbook in plain text, and reading either."""

from __future__ import annotations

from datetime import datetime
from typing import IO

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.room.entries.base import Entry
from tankward.room.entries.photos import PhotoAdded
from tankward.room.photos import pictures_of
from tankward.room.text import read_logbook, write_logbook
from tankward.store.carry import Versions, carry_out
from tankward.store.carry_form import Manifest
from tankward.store.carry_in import CarriedIn, carry_in
from tankward.store.faults import StoreFault
from tankward.store.photos import faults_of, pictures_in

from .desk import Desk
from .strange import strange_names, unusable_names

ZIP = b"PK"
MOST_TEXT = 64 * 1024 * 1024  # bytes of a logbook in plain text


class BroughtIn(msgspec.Struct, frozen=True, kw_only=True):
    """What an import added, and what was here already."""

    new: int
    known: int
    manifest: Manifest | None = None  # of an export; a logbook in plain text has none
    photos: int = 0  # pictures that came with what is new
    strange: tuple[str, ...] = ()  # kinds of animal and signs that no fact is about


def export(desk: Desk, to: IO[bytes], facts: Facts, program: str, now: datetime) -> Manifest:
    """Everything in one zip."""
    versions = Versions(program=program, facts=facts.version, facts_digest=facts.digest)
    return carry_out(desk.entries(), desk.store.pictures, to, versions, now)


def as_text(desk: Desk) -> str:
    """Everything as a logbook in plain text, which reads back whole."""
    return write_logbook(desk.entries())


def bring_in(desk: Desk, packed: IO[bytes], name: str, zone: str, facts: Facts) -> BroughtIn:
    """Keep what an export or a logbook in plain text holds: all of it or nothing.

    Parameters
    ----------
    desk
        The room, empty or not. An entry that is here already is kept once.
    packed
        The file at its beginning.
    name
        What to call it in a sentence.
    zone
        Of the lines of a text that names none.
    facts
        What is known here; names that it does not hold are told.

    Raises
    ------
    BadInput
        If the file can't be used, or tells an entry otherwise than the logbook here.
    """
    _writable(desk)
    carried, entries = _read(packed, name, zone)
    every = {e.id: e for e in desk.entries()}
    known = sum(e.id in every for e in entries)
    told_otherwise = [e for e in entries if e.id in every and every[e.id] != e]
    if told_otherwise:
        raise BadInput(
            "import", name, f"tells the entry {told_otherwise[0].id} otherwise than the logbook here."
        )
    if unusable := unusable_names(entries, facts):
        told = f"names {unusable[0]}, and no fact here is about it."
        raise BadInput("import", name, f"{told} Use the newest Tankward, or mend the name.")
    wanted = pictures_of([*every.values(), *(e for e in entries if e.id not in every)])
    if carried is None:
        _no_photo_lacks(desk, entries, wanted, name)
        new = desk.append(*entries)
        return BroughtIn(new=len(new), known=known, strange=strange_names(entries, facts))
    # Also those that are known: a picture that is lost here may be whole there.
    lacking = faults_of(desk.store.pictures, wanted & carried.digests)
    new = desk.append(*entries, pictures=carried.pictures(lacking), absent=carried.manifest.lacking)
    return BroughtIn(
        new=len(new), known=known, manifest=carried.manifest,
        photos=len(carried.digests & wanted), strange=strange_names(entries, facts),
    )  # fmt: skip


def _no_photo_lacks(desk: Desk, entries: list[Entry], wanted: frozenset[str], name: str) -> None:
    """A text carries no pictures: it may tell of photos only where they lie here already."""
    named = {e.digest for e in entries if isinstance(e, PhotoAdded)} & wanted
    if lacking := len(named - pictures_in(desk.store.pictures)):
        photos = "a photo" if lacking == 1 else f"{lacking} photos"
        told = f"tells of {photos}, and a text carries none. Take in the zip, or leave out its photo lines."
        raise BadInput("import", name, told)


def _read(packed: IO[bytes], name: str, zone: str) -> tuple[CarriedIn | None, list[Entry]]:
    begin = packed.read(len(ZIP))
    packed.seek(0)
    if begin == ZIP:
        carried = carry_in(packed, name)
        return carried, carried.entries
    try:
        text = packed.read(MOST_TEXT + 1).decode()
    except UnicodeDecodeError:
        raise _neither(name) from None
    entries = read_logbook(text, zone=zone) if len(text) <= MOST_TEXT and "\0" not in text else []
    if not entries:
        raise _neither(name)
    return None, entries


def _neither(name: str) -> BadInput:
    return BadInput("import", name, "is neither an export of Tankward nor a logbook in plain text.")


def _writable(desk: Desk) -> None:
    desk.store.last()  # opens, and so knows
    if desk.read_only:
        raise StoreFault(desk.read_only)
