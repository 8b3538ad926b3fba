"""Who may have been reached by what is in a tank."""

from __future__ import annotations

from typing import ClassVar

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.contact import contacts_of
from tankward.desk.find import find_tank
from tankward.desk.sources import titles
from tankward.knowledge.loader import load
from tankward.show.words import contact as words
from tankward.show.words.days import moment_line

from ..frame import Page, desk_of, now_of, page


class ContactPage(Page, frozen=True, kw_only=True):
    """The tanks that may have been reached, the likeliest first."""

    template: ClassVar[str] = "contact.html"
    why: str
    rows: list[words.ContactRow]
    by_hand: str
    hands_say: str
    nobody: str
    came: list[str]
    came_say: str
    gone: list[str]
    hold: list[str]
    rules: list[str]
    judged: str
    write: str
    sources: list[str]


async def show(request: Request) -> Response:
    room, now, zone, facts = desk_of(request).room(), now_of(request), str(request.app.state.zone), load()
    tank = find_tank(room, request.path_params["tank"])
    found = contacts_of(room, tank.id, now, zone, facts)
    reach = found.reach
    hands = [c for c in reach.contacts if c.by_hand]
    near = [c for c in reach.contacts if not c.by_hand]
    record = ContactPage(
        title=words.finding(found, room),
        place_line=f"{tank.name}, who it met, {moment_line(now, zone)}",
        tank=tank.id,
        why=words.why(found, room, now, zone, facts),
        rows=[words.contact_row(c, found, room, now, zone, facts) for c in near],
        by_hand=words.hand_line(hands, room, now, zone, facts) if hands else "",
        hands_say=words.HANDS_SAY,
        nobody="" if near else words.NOBODY.format(name=tank.name),
        came=[words.came_says(o, found, room, now, zone) for o in reach.came],
        came_say=words.CAME_SAY,
        gone=[words.gone_says(g, room, now, zone) for g in reach.gone],
        hold=words.hold_lines(found, room, now, zone, facts),
        rules=words.rules(found),
        judged=words.judged_words(found) if reach.contacts else "",
        write=words.WRITE,
        sources=[f"{key}: {title}" for key, title, _ in titles(words.keys_of(found), facts) if title],
    )
    return page(request, record)


ROUTES = [Route("/tanks/{tank}/contact", show)]
