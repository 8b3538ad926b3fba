"""A photo: its picture, its page, adding one to an entry, removing one for good."""

from __future__ import annotations

from typing import ClassVar

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, Response
from starlette.routing import Route

from tankward.desk.find import find_entry
from tankward.desk.photos import photo_named, photos_here, remove
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.entries.base import Entry
from tankward.room.photos import is_digest
from tankward.show.words.days import moment_line
from tankward.show.words.photos import REMOVING, told_words
from tankward.store.photos import picture_file

from ..frame import Page, desk_of, keep, now_of, page, read_form, see_other
from ..photos import SHOWS, PhotoShown, photo_shown, photos_for, sent_photos
from .entry import entry_page


class PhotoPage(Page, frozen=True, kw_only=True):
    """One photo with what it belongs to."""

    template: ClassVar[str] = "photo.html"
    id: str
    photo: PhotoShown
    about: str
    about_url: str
    when: str
    removing: tuple[str, ...] = REMOVING
    can_remove: bool


async def picture(request: Request) -> Response:
    """The picture. No browser keeps it: one that is removed for good is gone from there too."""
    digest = request.path_params["digest"]
    file = picture_file(desk_of(request).store.pictures, digest) if is_digest(digest) else None
    if file is None or not file.is_file():
        raise HTTPException(404)
    return FileResponse(file, media_type="image/jpeg", headers={"cache-control": "no-store"})


async def show(request: Request) -> Response:
    desk, zone = desk_of(request), str(request.app.state.zone)
    room, entries = desk.room(), desk.entries()
    entry = photo_named(entries, request.path_params["photo"])
    about, found = next(
        ((a, p) for a, photos in photos_here(desk).items() for p in photos if p.entry.id == entry.id),
        ("", None),
    )
    if found is None:  # taken back: its entry's page puts it back
        return see_other(f"/entries/{entry.id}")
    told = next((told_words(e, room, load()) for e in entries if e.id == about), "")
    tank = room.tanks.get(entry.tank)
    record = PhotoPage(
        title=entry.shows or told or "Photo", place_line=f"{tank.name}, photo" if tank else "Photo",
        tank=tank.id if tank else "", id=entry.id, photo=photo_shown(found, told), about=told,
        about_url=f"/entries/{about}", when=moment_line(entry.at, zone),
        can_remove=found.there != "removed" and not desk.read_only,
    )  # fmt: skip
    return page(request, record)


def _entry(request: Request) -> Entry:
    return find_entry(desk_of(request).entries(), request.path_params["entry"])


async def add(request: Request) -> Response:
    """Put photos to an entry that is there."""
    typed, about = await read_form(request), _entry(request)
    try:
        pictures = await sent_photos(request)
        if not pictures:
            raise BadInput("photo", "", "is missing. Take one, or choose one.")
        added = photos_for(request, about, pictures, typed.get(SHOWS, ""))
    except BadInput as fault:
        return entry_page(request, about, None, fault)
    return keep(request, f"/entries/{about.id}#photos", *added, pictures=pictures)


async def remove_for_good(request: Request) -> Response:
    await read_form(request)
    desk, zone = desk_of(request), str(request.app.state.zone)
    photo = await run_in_threadpool(remove, desk, request.path_params["photo"], now_of(request), zone)
    return see_other(f"/photos/{photo.id}")


ROUTES = [
    Route("/photos/{digest}.jpg", picture),
    Route("/photos/{photo}", show),
    Route("/photos/{photo}/remove", remove_for_good, methods=["POST"]),
    Route("/entries/{entry}/photos", add, methods=["POST"]),
]
