"""Something's off: where it is on the fish, and each sign seen, not there or not known."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

import msgspec
from starlette.datastructures import QueryParams
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.examine import examine_tank
from tankward.desk.find import find_tank
from tankward.desk.walk import Walk, breathes, count_faults
from tankward.judge.breathing import SIGN as FAST_GILLS
from tankward.judge.living_evidence import bears_young
from tankward.knowledge.find import find_signs, index_of
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, gathered
from tankward.room.things import Tank
from tankward.show.drawings import drawn
from tankward.show.words.breathing import usual_beats
from tankward.show.words.looking import ON_THE_FISH, PLACES, counted, sign_head, sign_line, signs_of

from ..border import border_of
from ..faults import by_field
from ..frame import Page, desk_of, now_of, page, read_form, see_other
from ..kept import with_kept
from ..photos import SHOWS, photos_for, sent_photos
from ..walk import SIGN, pairs_of, walk_of
from .room import outline

FIRST = "belly"  # what stands open before anything is touched
ALL = "all"
NOT_COUNTED = ("tank", "deaths", "breeding", "share")  # groups of signs that no single fish shows
BREATHES_AT = ("gills", ALL)  # places where gill beats are counted
ENTER = "enter"  # the enter key in a field of text: searches if a search was typed, else stays


class SignRow(msgspec.Struct, frozen=True, kw_only=True):
    """One sign to answer."""

    name: str
    head: str
    line: str
    chosen: str
    sign: str  # its id
    count: str  # how many show it, as typed
    can_count: bool  # a sign of the fish, not of the water


class Group(msgspec.Struct, frozen=True, kw_only=True):
    """The signs of one place."""

    place: str
    words: str
    rows: list[SignRow]
    count: str


class Place(msgspec.Struct, frozen=True, kw_only=True):
    """A word that can be touched."""

    id: str
    words: str
    count: str
    chosen: bool


class LookPage(Page, frozen=True, kw_only=True):
    """The fish, the signs of the place touched, and what else helps."""

    template: ClassVar[str] = "look.html"
    place: ClassVar[str] = "Look"
    action: str
    onward: str  # where "What may it be?" goes
    now_url: str
    writes: bool  # the last button writes the look down
    form: str
    chosen: tuple[str, ...]
    on_the_fish: list[Place]
    elsewhere: list[Place]
    groups: list[Group]
    open_place: str
    find: str
    found_nothing: str
    kept: list[tuple[str, str]]
    breath: bool  # gill beats are counted where the touched place is
    usual: str  # gill beats of a small fish at rest
    bellies_open: bool
    ask_url: str  # one question after the other
    walk: str  # name of the walk, by which a browser keeps its answers
    belly: str
    beats: str
    beats_well: str
    looked_at: str
    eating: str
    onset: str
    share: str
    history: str
    animals: str
    volume: str
    water: str
    shows: str
    faults: Mapping[str, str]


class Asked(msgspec.Struct, frozen=True, kw_only=True):
    """What the page was asked for."""

    walk: Walk
    place: str = FIRST
    find: str = ""
    shows: str = ""  # what a photo is to show; the photo itself must be chosen again
    faults: Mapping[str, str] = {}


def asked_of(request: Request, facts: Facts) -> Asked:
    """Which place is open, and what was answered so far."""
    query = request.query_params
    place = query.get("zone", FIRST)
    if place == ENTER:
        searches = query.get("find", "").strip() not in ("", query.get("found", ""))
        place = "find" if searches else query.get("here", FIRST)
    if place not in (*PLACES, ALL, "find"):
        raise BadInput("zone", place, f"is not one of {', '.join((*PLACES, ALL))}.")
    return Asked(walk=walk_of(query, facts), place=place, find=query.get("find", "").strip())


def groups_of(asked: Asked, facts: Facts) -> list[Group]:
    """The places whose signs are asked: the one touched, all of them, or what a search found."""
    if asked.place == "find":
        found = matches(asked.find, facts)
        return [_group("find", f"Signs for “{asked.find}”", found, asked.walk, facts)] if found else []
    places = [p for p in PLACES if p != "tail"] if asked.place == ALL else [asked.place]
    groups = []
    taken: set[str] = set()
    for place in places:
        signs = [s for s in signs_of(place, facts) if s not in taken]
        taken |= set(signs)
        groups.append(_group(place, PLACES[place], signs, asked.walk, facts))
    return groups


def matches(words: str, facts: Facts) -> list[str]:
    """Signs that some words may stand for, then those whose names come close."""
    if not words:
        return []
    try:
        return list(find_signs(facts, words))
    except BadInput:
        close = index_of(facts, "sign").close(words)
        near = [s for name in close for s in find_signs(facts, name)]
        holding = [s for s in facts.signs if words.lower() in sign_line(s, facts).lower()]
        return list(dict.fromkeys([*near, *holding]))


def _group(place: str, words: str, signs: list[str], walk: Walk, facts: Facts) -> Group:
    rows = [
        SignRow(
            name=SIGN + s,
            head=sign_head(s, facts),
            line=sign_line(s, facts),
            chosen=walk.how(s),
            sign=s,
            count=dict(walk.counts).get(s, ""),
            can_count=facts.signs[s].group not in NOT_COUNTED,
        )
        for s in signs
    ]
    return Group(place=place, words=words, rows=rows, count=_count(signs, walk))


def _count(signs: list[str], walk: Walk) -> str:
    answered = [[s for s in signs if walk.how(s) == how] for how in ("seen", "absent", "unsure")]
    return counted(*answered)


def _places(names: tuple[str, ...], asked: Asked, facts: Facts) -> list[Place]:
    return [
        Place(id=p, words=PLACES[p], count=_count(signs_of(p, facts), asked.walk), chosen=p == asked.place)
        for p in names
    ]


def record(
    asked: Asked, facts: Facts, tank: Tank | None, form: str, *, livebearers: bool = False
) -> LookPage:
    """The page of what was asked."""
    base = f"/tanks/{tank.id}" if tank else ""
    groups = groups_of(asked, facts)
    walk = asked.walk
    # What the page itself asks must not stand in hidden fields too.
    shown = {row.sign for g in groups for row in g.rows}
    breath = asked.place in BREATHES_AT or FAST_GILLS in shown
    typed = ("belly", "looked_at", "eating", "onset", "share", "history", "animals", "volume", "water")
    here = {*typed, "looked-at", *(("beats", "beats-well") if breath else ())}
    return LookPage(
        title="Where is it? Touch the fish.",
        place_line=f"{tank.name}, something looks wrong" if tank else "Something looks wrong",
        tank=tank.id if tank else "",
        action=f"{base}/look",
        onward=f"{base}/look" if tank else "/causes",
        now_url=f"{base}/now",
        writes=tank is not None,
        form=form,
        chosen=(asked.place,) if asked.place in ON_THE_FISH else (),
        on_the_fish=_places(tuple(p for p in ON_THE_FISH if p in drawn.forms()[form].zones), asked, facts),
        elsewhere=_places(tuple(p for p in PLACES if p not in ON_THE_FISH), asked, facts),
        groups=groups,
        open_place=asked.place,
        find=asked.find,
        found_nothing="No sign is called so here. All signs stand in one list."
        if asked.place == "find" and not groups
        else "",
        kept=[(k, v) for k, v in pairs_of(walk, shown) if k not in here],
        breath=breath,
        usual=usual_beats(facts),
        bellies_open=livebearers,
        ask_url=f"{base}/ask",
        walk=base or "told",
        beats=walk.beats,
        beats_well=walk.beats_well,
        **{name: getattr(walk, name) for name in typed},
        shows=asked.shows,
        faults=asked.faults,
    )


async def show(request: Request) -> Response:
    facts = load()
    asked = asked_of(request, facts)
    return page(request, record(asked, facts, None, "torpedo"))


async def show_tank(request: Request) -> Response:
    facts, room = load(), desk_of(request).room()
    tank = find_tank(room, request.path_params["tank"])
    form = outline(room, tank.id, facts) or "torpedo"
    young = bears_young(room.stock_of(tank.id), facts)
    asked = asked_of(request, facts)
    if "zone" not in request.query_params and not drawn.forms()[form].zones:
        asked = msgspec.structs.replace(asked, place="shrimp")
    return page(request, record(asked, facts, tank, form, livebearers=young))


def texts_of(walk: Walk, facts: Facts) -> dict[str, str]:
    """A look as the border reads it.

    Raises
    ------
    BadInputs
        For counts that can't be read, by the names of their fields.
    """
    gathered(count_faults(walk))
    lists = {"seen": walk.seen, "not-seen": walk.absent, "unsure": walk.unsure}
    texts = {key: "; ".join(ids) for key, ids in lists.items()}
    onset, share = walk.answers
    texts |= {"belly": walk.belly, "onset": onset, "share": share, "history": walk.history}
    texts |= {"eating": "" if walk.eating == "unsure" else walk.eating, "looked-at": walk.looked_at}
    texts["counts"] = "; ".join(f"{sign} {n:g}" for sign, n in walk.shown.items())
    breath = breathes(walk, facts)
    for key, beats in (("gill-beats", breath.beats_per_min), ("gill-beats-well", breath.well_per_min)):
        texts[key] = f"{beats:g}" if beats else ""
    return {key: text for key, text in texts.items() if text}


async def write(request: Request) -> Response:
    """The look is written down; what is urgent comes before what it may be."""
    facts, desk = load(), desk_of(request)
    room = desk.room()
    tank = find_tank(room, request.path_params["tank"])
    typed = await read_form(request)
    walk = walk_of(QueryParams(typed), facts)
    try:
        texts = texts_of(walk, facts)
        pictures = await sent_photos(request)
        if not texts:
            raise BadInput("look", "", "is empty. Touch the fish, and say of one sign whether it is there.")
        written = border_of(request).log("look", tank.id, texts)
        added = photos_for(request, written.entry, pictures, typed.get(SHOWS, ""))
    except BadInput as fault:
        asked = Asked(walk=walk, shows=typed.get(SHOWS, ""), faults=by_field(fault))
        return page(request, record(asked, facts, tank, outline(room, tank.id, facts) or "torpedo"), 422)
    desk.append(*written.entries, *added, pictures=pictures)
    found = examine_tank(desk.room(), tank.id, now_of(request), facts)
    url = f"/tanks/{tank.id}/{'now' if found.urgent else 'causes'}"
    return see_other(with_kept(url, *written.entries))


ROUTES = [
    Route("/look", show),
    Route("/tanks/{tank}/look", show_tank),
    Route("/tanks/{tank}/look", write, methods=["POST"]),
]
