"""Photos at the desk: read from what a phone sent, put to an entry, removed for good, listed."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import datetime
from pathlib import Path

import msgspec

from tankward.quantities.faults import BadInput
from tankward.room.entries.base import Entry
from tankward.room.entries.corrections import Corrected, Undone
from tankward.room.entries.photos import PhotoAdded, PhotoRemoved
from tankward.room.photos import photos_of, removed_ids
from tankward.store.photos import Picture, picture_file
from tankward.store.picture import kept_form

from . import checks
from .desk import Desk
from .folder import new_id

MOST = 12  # photos at once


class Photo(msgspec.Struct, frozen=True, kw_only=True):
    """A photo of an entry; `there` says why its picture is not shown, or "there"."""

    entry: PhotoAdded
    there: str  # there, missing, removed
    removed_at: datetime | None = None


def read_photos(sent: Iterable[tuple[str, bytes]]) -> list[Picture]:
    """Photos in the form that is kept, each once.

    Parameters
    ----------
    sent
        Name and bytes of each.

    Raises
    ------
    BadInput
        If one is no photo, too large, or they are too many.
    """
    files = list(sent)
    if len(files) > MOST:
        raise BadInput("photo", f"{len(files)} files", f"are too many at once. Choose at most {MOST}.")
    found = [Picture.of(kept_form(content, name)) for name, content in files]
    return list({picture.digest: picture for picture in found}.values())


def read_files(text: str) -> list[Picture]:
    """Photos named at the command line: one file, or several parted by ";".

    Raises
    ------
    BadInput
        If one is no file or no photo.
    """
    files = [Path(part.strip()).expanduser() for part in text.split(";") if part.strip()]
    for file in files:
        if not file.is_file():
            raise BadInput("photo", str(file), "is no file. Write the file of a photo.")
    return read_photos((file.name, file.read_bytes()) for file in files)


def photo_entries(
    about: Entry, pictures: Iterable[Picture], shows: str, now: datetime, zone: str
) -> list[PhotoAdded]:
    """Entries that put photos to another entry.

    Raises
    ------
    BadInput
        If `about` is itself a photo or a correction, or what it shows is too long.
    """
    if isinstance(about, PhotoAdded | PhotoRemoved | Undone | Corrected):
        raise BadInput("entry", about.id, "can't have a photo. Name what happened: a look, a note, a death.")
    words = checks.short("shows", shows)
    return [
        PhotoAdded(
            id=new_id(), at=now.replace(microsecond=0), zone=zone, tank=about.tank,
            digest=picture.digest, about=about.id, shows=words,
        )
        for picture in pictures
    ]  # fmt: skip


def photo_named(entries: Collection[Entry], word: str) -> PhotoAdded:
    """The photo with that id.

    Raises
    ------
    BadInput
        If there is none.
    """
    found = next((e for e in entries if isinstance(e, PhotoAdded) and e.id == word), None)
    if found is None:
        raise BadInput("photo", word, "is no photo. Write its id, as tankward photo list prints it.")
    return found


def photos_here(desk: Desk, about: Collection[str] | None = None) -> dict[str, list[Photo]]:
    """Photos by the entry that they belong to.

    Parameters
    ----------
    desk
        The room.
    about
        Ids of the entries that are asked for; all if not given.
    """
    entries = desk.entries()
    found = photos_of(entries)
    removed = {e.photo: e.at for e in entries if isinstance(e, PhotoRemoved)}
    return {
        entry: [_photo(desk, p, removed.get(p.id)) for p in photos]
        for entry, photos in found.items()
        if about is None or entry in about
    }


def _photo(desk: Desk, entry: PhotoAdded, removed: datetime | None) -> Photo:
    if removed is not None:
        return Photo(entry=entry, there="removed", removed_at=removed)
    there = picture_file(desk.store.pictures, entry.digest).exists()
    return Photo(entry=entry, there="there" if there else "missing")


def remove(desk: Desk, word: str, now: datetime, zone: str) -> PhotoAdded:
    """Remove a photo for good: its entry says so, its picture is deleted here and from the copies.

    Every photo that shows the same picture goes with it, or the picture would stay.

    Raises
    ------
    BadInput
        If there is no such photo, or it was removed already.
    StoreFault
        If nothing can be written here.
    """
    entries = desk.entries()
    photo = photo_named(entries, word)
    gone = removed_ids(entries)
    if photo.id in gone:
        raise BadInput("photo", word, "was removed already.")
    same = [e for e in entries if isinstance(e, PhotoAdded) and e.digest == photo.digest and e.id not in gone]
    at = now.replace(microsecond=0)
    desk.append(*(PhotoRemoved(id=new_id(), at=at, zone=zone, tank=e.tank, photo=e.id) for e in same))
    desk.store.sweep()
    return photo
