"""One question after the other: the one that tells most, at most a dozen, each may be skipped."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.asking import question_after, with_look
from tankward.desk.examine import Examination, examine_tank
from tankward.desk.find import find_tank
from tankward.desk.walk import Walk, examine_walk, read
from tankward.judge.breathing import SIGN as FAST_GILLS
from tankward.judge.choices import MOST_QUESTIONS
from tankward.judge.living_evidence import bears_young
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.entries.looks import Look
from tankward.room.things import Tank
from tankward.show.words.asking import FACT_ANSWERS, FACT_ASKED, count_words, so_far
from tankward.show.words.breathing import usual_beats
from tankward.show.words.judge import urgent_heading
from tankward.show.words.looking import sign_head, sign_line

from ..border import border_of
from ..faults import by_field
from ..frame import Page, desk_of, now_of, page
from ..walk import ASKS, FACTS_ASKED, SIGN, address, pairs_of, walk_of
from .look import texts_of
from .room import outline

BELLY = "belly_sunken"  # asked by the belly score
SEEN = (("seen", "Seen"), ("absent", "Not there"), ("unsure", "Don't know"))


class AskPage(Page, frozen=True, kw_only=True):
    """One question, and what it may be so far."""

    template: ClassVar[str] = "ask.html"
    place: ClassVar[str] = "Look"
    action: str
    first: str  # the urgent heading, "" where nothing is urgent
    onward: str  # where "What may it be?" goes
    now_url: str
    writes: bool
    walk: str
    at: str  # what is asked; "" at the end
    name: str
    why: str
    count: str
    answers: tuple[tuple[str, str], ...]
    chosen: str
    score: str
    kept: list[tuple[str, str]]
    form: str
    zone: str
    belly: bool
    bellies_open: bool
    breath: bool
    beats: str
    beats_well: str
    usual: str
    faults: Mapping[str, str]
    so_far: list[tuple[str, str]]
    back_url: str
    look_url: str


class Way(msgspec.Struct, frozen=True, kw_only=True):
    """What was told, what it comes to, and where."""

    walk: Walk
    found: Examination
    tank: Tank | None = None
    form: str = "torpedo"
    livebearers: bool = False

    @property
    def base(self) -> str:
        return f"/tanks/{self.tank.id}" if self.tank else ""


def known_question(at: str, facts: Facts) -> str:
    """A question that is asked again.

    Raises
    ------
    BadInput
        For one that is not asked here.
    """
    if at and at not in facts.signs and at not in FACTS_ASKED:
        raise BadInput("at", at, "is nothing that is asked here.")
    return at


def record(way: Way, at: str, facts: Facts, faults: Mapping[str, str]) -> AskPage:
    """The page of one question."""
    walk, asked = way.walk, way.walk.asked
    following = question_after(way.found, asked, facts) if not at else None
    at = at or (following.id if following else "")
    order = asked.index(at) if at in asked else len(asked)
    before = asked[order - 1] if order else ""
    sign = at if at in facts.signs else ""
    # An answer given before stays, unless a button says another: what stands later in the form wins.
    own = {"asked", *(("beats", "beats-well") if at == FAST_GILLS else ())}
    kept = [(k, v) for k, v in pairs_of(walk) if k not in own]
    return AskPage(
        title=f"{sign_head(sign, facts)}?" if sign else FACT_ASKED.get(at, "That is all that is asked."),
        place_line=f"{way.tank.name}, something looks wrong" if way.tank else "Something looks wrong",
        tank=way.tank.id if way.tank else "",
        action=f"{way.base}/ask",
        first=urgent_heading(way.found.urgent, way.tank.name if way.tank else "") if way.found.urgent else "",
        onward=f"{way.base}/look" if way.tank else "/causes",
        now_url=f"{way.base}/now",
        writes=way.tank is not None,
        walk=way.base or "told",
        at=at,
        name=SIGN + sign if sign else at,
        why=sign_line(sign, facts) if sign and at != FAST_GILLS else "",
        count=count_words(order + 1, round(MOST_QUESTIONS.value)) if at else "",
        answers=SEEN[2:] if at == BELLY else SEEN if sign else FACT_ANSWERS.get(at, ()),
        chosen=walk.how(sign) if sign else {"onset": walk.onset, "share": walk.share}.get(at, ""),
        score=walk.belly,
        kept=[*kept, *([("asked", ",".join(asked))] if asked else []), *([(ASKS, at)] if at else [])],
        form=way.form,
        zone=facts.signs[sign].zone if sign and facts.signs[sign].zone != "none" else "",
        belly=at == BELLY,
        bellies_open=way.livebearers,
        breath=at == FAST_GILLS,
        beats=walk.beats,
        beats_well=walk.beats_well,
        usual=usual_beats(facts),
        faults=faults,
        so_far=so_far(way.found.ranking, facts) if way.found.evidence.seen else [],
        back_url=address(f"{way.base}/ask", walk, {"at": before}) if before else "",
        look_url=address(f"{way.base}/look", walk),
    )


def asked_at(request: Request, facts: Facts) -> str:
    """Which question is asked again; "" for the next."""
    return known_question(request.query_params.get("at", ""), facts)


async def show(request: Request) -> Response:
    """For what was told; nothing is kept but the address."""
    facts = load()
    walk = walk_of(request.query_params, facts)
    faults: Mapping[str, str] = {}
    at = asked_at(request, facts)
    try:
        found = examine_walk(walk, read(walk, facts, desk_of(request).taste), facts)
    except BadInput as fault:
        faults, at, bare = by_field(fault), FAST_GILLS, Walk(seen=walk.seen, absent=walk.absent)
        if not {"beats", "beats-well"} & set(faults):
            raise
        found = examine_walk(bare, read(bare, facts), facts)
    return page(request, record(Way(walk=walk, found=found), at, facts, faults), 422 if faults else 200)


async def show_tank(request: Request) -> Response:
    """For a tank: its logbook counts, and what was told stands in the address until it is written down."""
    facts, room = load(), desk_of(request).room()
    tank = find_tank(room, request.path_params["tank"])
    walk = walk_of(request.query_params, facts)
    at, faults = asked_at(request, facts), {}
    try:
        texts = {key: text for key, text in texts_of(walk, facts).items() if text}
        look = border_of(request).log("look", tank.id, texts).entry if texts else None
    except BadInput as fault:
        faults, look = by_field(fault), None
        if not {"beats", "beats-well"} & set(faults):
            raise
        at = FAST_GILLS
    told = with_look(room, look) if isinstance(look, Look) else room
    way = Way(
        walk=walk,
        found=examine_tank(told, tank.id, now_of(request), facts),
        tank=tank,
        form=outline(room, tank.id, facts) or "torpedo",
        livebearers=bears_young(room.stock_of(tank.id), facts),
    )
    return page(request, record(way, at, facts, faults), 422 if faults else 200)


ROUTES = [Route("/ask", show), Route("/tanks/{tank}/ask", show_tank)]
