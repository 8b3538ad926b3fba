"""Photos on pages: what a form sent, and how one is shown with the words that stand for it."""

from __future__ import annotations

from collections.abc import Collection

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.requests import Request

from tankward.desk.desk import Desk
from tankward.desk.photos import Photo, photo_entries, photos_here, read_photos
from tankward.knowledge.known import Facts
from tankward.room.entries.base import Entry
from tankward.room.entries.photos import PhotoAdded
from tankward.room.replay import Room
from tankward.show.words.photos import alt_words, photo_words, told_words
from tankward.store.photos import Picture
from tankward.store.picture import MOST_SENT

FIELDS = ("photo", "photo-chosen")  # taken now; chosen among those that were taken
SHOWS = "shows"
PHOTO_FIELDS = ("photo", SHOWS)  # whose faults stand there


class PhotoShown(msgspec.Struct, frozen=True, kw_only=True):
    """One photo on a page."""

    src: str  # "" where there is no picture
    alt: str
    says: str  # below it, or in its place
    url: str  # its own page


async def sent_photos(request: Request) -> list[Picture]:
    """The photos that came with a form, in the form that is kept.

    Raises
    ------
    BadInput
        If one is no photo, too large, or they are too many.
    """
    form = await request.form()
    files = [f for name in FIELDS for f in form.getlist(name) if isinstance(f, UploadFile) and f.filename]
    # One byte more than may be: enough to see that it is too large.
    sent = [(f.filename or "", await f.read(MOST_SENT + 1)) for f in files]
    return await run_in_threadpool(read_photos, sent)


def photos_for(request: Request, about: Entry, pictures: Collection[Picture], shows: str) -> list[PhotoAdded]:
    """Entries that put what was sent to another entry."""
    state = request.app.state
    return photo_entries(about, pictures, shows, state.clock(), str(state.zone))


def shown(desk: Desk, about: Collection[str], room: Room, facts: Facts) -> dict[str, list[PhotoShown]]:
    """The photos of some entries, by entry."""
    found = photos_here(desk, about)
    if not found:
        return {}
    told = {e.id: told_words(e, room, facts) for e in desk.entries() if e.id in found}
    return {entry: [photo_shown(p, told.get(entry, "")) for p in photos] for entry, photos in found.items()}


def photo_shown(photo: Photo, told: str) -> PhotoShown:
    """One photo; `told` is what its entry says."""
    there = photo.there == "there"
    return PhotoShown(
        src=f"/photos/{photo.entry.digest}.jpg" if there else "",
        alt=alt_words(photo.entry.shows, told),
        says=photo_words(photo.entry.shows, photo.there),
        url=f"/photos/{photo.entry.id}",
    )
