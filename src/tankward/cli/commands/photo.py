"""Photos: put to an entry, listed, removed for good."""

from __future__ import annotations

from pathlib import Path

from cyclopts import App

from tankward.desk.desk import Desk
from tankward.desk.find import find_entry, find_tank
from tankward.desk.photos import Photo, photo_entries, photos_here, read_files, remove
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.entries.base import Entry
from tankward.show.results_photos import PhotoGone, PhotoList, PhotoRow, PhotosAdded
from tankward.show.words import photos as words
from tankward.store.photos import picture_file

from ..common import Common, opened


def add(entry: str, file: Path, *, shows: str = "", common: Common = Common()) -> PhotosAdded:
    """Put a photo to an entry that is there. log takes one too: log note T7 text=… photo=fin.jpg.

    Parameters
    ----------
    entry
        Its id, as find and tank show print it.
    file
        A JPEG, PNG or WebP. It is turned upright and made small; place and camera are taken off.
    shows
        What it shows; else what the entry says stands for it.
    """
    pictures = read_files(str(file))
    with opened(common) as desk:
        about = find_entry(desk.entries(), entry)
        added = photo_entries(about, pictures, shows, common.moment, common.zone)
        desk.append(*added, pictures=pictures)
        told = words.told_words(about, desk.room(), load())
    return PhotosAdded(
        says=words.added_says(len(added), told), photos=[p.id for p in added], entry=about.id, now=common.told
    )


def list_(tank: str = "", *, common: Common = Common()) -> PhotoList:
    """The photos, of one tank or of all.

    Parameters
    ----------
    tank
        Its name; else every tank.
    """
    with opened(common) as desk:
        where = find_tank(desk.room(), tank).id if tank else ""
        every = {e.id: e for e in desk.entries()}
        found = [(every[i], p) for i, photos in photos_here(desk).items() for p in photos if i in every]
        rows = [_row(desk, e, p) for e, p in found if not where or e.tank == where]
    rows.sort(key=lambda row: row.at)
    return PhotoList(says=words.listed_says(len(rows)), photos=rows, now=common.told)


def _row(desk: Desk, about: Entry, photo: Photo) -> PhotoRow:
    own = photo.entry
    told = words.told_words(about, desk.room(), load())
    return PhotoRow(
        photo=own.id,
        entry=about.id,
        tank=about.tank,
        at=own.at.isoformat(),
        shows=own.shows or told,
        there=photo.there,
        file=str(picture_file(desk.store.pictures, own.digest)) if photo.there == "there" else "",
    )


def remove_(photo: str, *, common: Common = Common()) -> PhotoGone:
    """Remove a photo for good, here and from the copies. It can't be put back; one line in the log stays.

    Parameters
    ----------
    photo
        Its id, as photo list prints it.
    """
    with opened(common) as desk:
        if not photo:
            raise BadInput("photo", photo, "is missing. Write its id, as tankward photo list prints it.")
        gone = remove(desk, photo, common.moment, common.zone)
    return PhotoGone(says=f"{words.REMOVED} {words.REMOVING[1]}", photo=gone.id, now=common.told)


def add_to(app: App) -> None:
    """Add the family's commands."""
    family = App(name="photo", help="Photos of what happened: add, list, remove.")
    family.command(add)
    family.command(list_, name="list")
    family.command(remove_, name="remove")
    app.command(family)
