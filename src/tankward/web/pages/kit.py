"""Kit: what I measure with and when I am there, one row a thing, each one touch from being told."""

from __future__ import annotations

from typing import ClassVar

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.knowledge.loader import load
from tankward.show.words.kit import kit_lines
from tankward.show.words.measuring import GUIDES

from ..frame import Page, desk_of, page

HOURS, HOURS_ROW = "hours", "When you can be at the tanks"
# Row of the kit -> its guide.
GUIDE_OF = {
    "Scale": "scale", "Spoons": "spoon", "Syringes": "syringes", "Buckets": "buckets", "Hose": "hose",
    "Test kits": "tests", "Hours": HOURS,
}  # fmt: skip
NOT_TOLD = "not told yet"


def _head(what: str) -> str:
    word = GUIDE_OF[what]
    return HOURS_ROW if word == HOURS else GUIDES[word].row


class KitRow(msgspec.Struct, frozen=True, kw_only=True):
    """One thing: what is known of it, and where it is told."""

    head: str
    soft: str
    url: str


class KitPage(Page, frozen=True, kw_only=True):
    """What I measure with."""

    template: ClassVar[str] = "kit.html"
    place: ClassVar[str] = "More"
    own: list[KitRow]
    tanks: list[KitRow]


async def show(request: Request) -> Response:
    room = desk_of(request).room()
    own = [
        KitRow(head=_head(what), soft=words or NOT_TOLD, url=f"/kit/{GUIDE_OF[what]}")
        for what, words in kit_lines(room.kit, load())
    ]
    one = next(iter(room.tanks)) if len(room.tanks) == 1 else ""
    tanks = [
        KitRow(head=g.row, soft=g.why, url=f"/tanks/{one}/measure/{g.word}" if one else f"/measure/{g.word}")
        for g in GUIDES.values()
        if g.of_tank
    ]
    record = KitPage(
        title="What I measure with", place_line="Kit", own=own, tanks=tanks if room.tanks else []
    )
    return page(request, record)


ROUTES = [Route("/kit", show)]
