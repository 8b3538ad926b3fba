"""What was just written down, told once on the page that follows, with the way back."""

from __future__ import annotations

from collections.abc import Sequence
from urllib.parse import urlencode, urlsplit, urlunsplit

import msgspec
from starlette.datastructures import QueryParams
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from tankward.desk.desk import Desk
from tankward.desk.history import standing_of
from tankward.knowledge.loader import load
from tankward.room.entries.base import Entry
from tankward.room.replay import taken_back
from tankward.show.words.kept import kept_says, undo_words
from tankward.store.photos import Picture

KEPT = "kept"  # its name in the address
MOST = 200  # ids in an address


class Kept(msgspec.Struct, frozen=True, kw_only=True):
    """One line: what was kept, and what undoes it."""

    says: str
    entries: str  # ids, parted by commas
    undo: str  # the button's words
    url: str  # the entry with its history; "" for several


def keep(
    request: Request,
    url: str,
    *entries: Entry,
    undo: tuple[Entry, ...] = (),
    pictures: Sequence[Picture] = (),
) -> Response:
    """Keep entries, then go where they can be seen; the page there offers the way back.

    Parameters
    ----------
    request
        The write.
    url
        Where to go, perhaps with a #place.
    entries
        What is kept, all or none.
    undo
        What an undo of this takes back, where that is not all of it.
    pictures
        Of the photos among the entries.
    """
    desk: Desk = request.app.state.desk
    desk.append(*entries, pictures=pictures)
    return RedirectResponse(with_kept(url, *(undo or entries)), 303)


def with_kept(url: str, *entries: Entry) -> str:
    """An address whose page tells what was kept."""
    if not entries:
        return url
    parts = urlsplit(url)
    query = "&".join(q for q in (parts.query, f"{KEPT}={','.join(e.id for e in entries[:MOST])}") if q)
    return urlunsplit(parts._replace(query=query))


def kept_of(request: Request) -> Kept | None:
    """What the address says was kept, where it still holds."""
    ids = request.query_params.get(KEPT, "").split(",")[:MOST]
    if ids == [""]:
        return None
    desk: Desk = request.app.state.desk
    every = {e.id: e for e in desk.entries()}
    gone = taken_back(every)
    found = [every[i] for i in dict.fromkeys(ids) if i in every and i not in gone]
    if not found:
        return None
    told = [standing_of(every.values(), e) for e in found]
    events = [next((v for v in s.events if v.by.id == e.id), None) for s, e in zip(told, found, strict=True)]
    what = [v.what if v else "written" for v in events]
    return Kept(
        says=kept_says(what, [s.entry for s in told], desk.room(), load()),
        entries=",".join(e.id for e in found),
        undo=undo_words(what),
        url=f"/entries/{told[0].entry.id}" if len(told) == 1 else "",
    )


def here(request: Request) -> str:
    """The page's own address, without what was kept."""
    query = QueryParams([(k, v) for k, v in request.query_params.multi_items() if k != KEPT])
    return f"{request.url.path}?{urlencode(query.multi_items())}" if query else request.url.path
