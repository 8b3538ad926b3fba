"""What we know: every figure with its source, how sure it is, what contradicts it and what is not known."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.sources import titles
from tankward.knowledge.bears import bears_of
from tankward.knowledge.find import KINDS, Kind
from tankward.knowledge.known import Facts
from tankward.knowledge.linked import links
from tankward.knowledge.loader import load
from tankward.knowledge.looked_up import Where, look_up
from tankward.knowledge.records.base import Record
from tankward.knowledge.tell import Page as Told
from tankward.knowledge.tell import page as thing_page
from tankward.knowledge.tell import thing_of, topic_page
from tankward.knowledge.topics import TOPICS, Place, topics
from tankward.quantities.faults import BadInput
from tankward.show.words.acts import upper
from tankward.show.words.know import (
    BearsRow,
    LinkRow,
    Parted,
    Section,
    bears_rows,
    counted,
    heading,
    latin_of,
    link_groups,
    not_known,
    parted,
    sections,
    short_rows,
    thing_name,
    url_of,
)
from tankward.show.words.know_tables import KINDS as KIND_NAMES
from tankward.show.words.know_tables import ONE_OF
from tankward.show.words.microscope import views_of

from ..frame import Page, page, see_other

LONGEST = 100  # characters of a search
SHELVES: tuple[Where, ...] = (
    "substance", "organism", "cause", "sign", "animal", "plant", "feed", "food", "hygiene", "kit", "water",
    "group",
)  # fmt: skip


class ListRow(msgspec.Struct, frozen=True, kw_only=True):
    """A thing in a list."""

    name: str
    url: str
    soft: str = ""


class KnowPage(Page, frozen=True, kw_only=True):
    """The search, the kinds, and the things of one kind."""

    template: ClassVar[str] = "know.html"
    place: ClassVar[str] = "More"
    asked: str
    found: list[tuple[str, ListRow]]  # what kind of thing each is
    kinds: list[tuple[str, str, int]]  # name, address, how many
    listed: list[ListRow]


class ThingPage(Page, frozen=True, kw_only=True):
    """All that is known of one thing."""

    template: ClassVar[str] = "know_thing.html"
    place: ClassVar[str] = "More"
    counted: str
    latin: str
    short: list[tuple[str, str]]
    links: list[tuple[str, list[LinkRow]]]
    bears: list[BearsRow]
    bears_unknown: list[BearsRow]
    parted: list[Parted]
    sections: list[Section]
    missing: list[str]
    sources: list[tuple[str, str, str]]
    shelf: tuple[str, str]  # back to its kind


class WhichPage(Page, frozen=True, kw_only=True):
    """A word that means several things."""

    template: ClassVar[str] = "know_which.html"
    place: ClassVar[str] = "More"
    rows: list[tuple[str, ListRow]]


def things(facts: Facts, kind: Where) -> list[str]:
    """Ids of a kind."""
    if kind in TOPICS:
        return [t.id for t in topics(facts, _place(kind))]
    held: Mapping[str, Mapping[str, Record]] = {
        "substance": facts.substances, "organism": facts.organisms, "cause": facts.causes,
        "sign": facts.signs, "animal": facts.animals, "plant": facts.plants, "feed": facts.feeds,
        "group": facts.groups, "context": facts.contexts,
    }  # fmt: skip
    return list(held[kind])


def _place(kind: Where) -> Place:
    return next(place for place in TOPICS if place == kind)


def _kind(kind: Where) -> Kind:
    return next(known for known in KINDS if known == kind)


def _row(facts: Facts, kind: Where, thing: str) -> ListRow:
    if kind in TOPICS:
        name = next(t.title for t in topics(facts, _place(kind)) if t.id == thing)
        soft = facts.kits[thing].reads if kind == "kit" else ""
        return ListRow(name=upper(name), url=url_of(kind, thing), soft=soft)
    soft = latin_of(facts, kind, thing)
    return ListRow(name=upper(thing_name(facts, kind, thing)), url=url_of(kind, thing), soft=soft)


def _listed(facts: Facts, kind: Where) -> list[ListRow]:
    rows = [_row(facts, kind, thing) for thing in things(facts, kind)]
    # Topics have an order of their own.
    return rows if kind in TOPICS and kind != "kit" else sorted(rows, key=lambda r: r.name.casefold())


async def show_all(request: Request) -> Response:
    facts = load()
    asked = request.query_params.get("words", "").strip()[:LONGEST]
    kind = request.query_params.get("kind", "")
    open_kind: Where | None = next((k for k in SHELVES if k == kind), None)
    hits = look_up(facts, asked) if asked else ()
    found = [(ONE_OF[h.kind], _found(facts, h.kind, h.id, h.by)) for h in hits if h.kind in SHELVES]
    record = KnowPage(
        title=_title(asked, len(found), open_kind), place_line="What we know", asked=asked, found=found,
        kinds=[(KIND_NAMES[k], f"/know?kind={k}", len(things(facts, k))) for k in SHELVES],
        listed=_listed(facts, open_kind) if open_kind else [],
    )  # fmt: skip
    return page(request, record)


def _found(facts: Facts, kind: Where, thing: str, by: str) -> ListRow:
    row = _row(facts, kind, thing)
    same = by.casefold() in row.name.casefold()
    return row if same else msgspec.structs.replace(row, soft=f"also called {by}")


def _title(asked: str, found: int, kind: Where | None) -> str:
    if asked:
        many = "One thing is" if found == 1 else f"{found} things are"
        return f"{many} known by “{asked}”" if found else f"Nothing is known by “{asked}”"
    return KIND_NAMES[kind] if kind else "What we know, and from where"


async def show_one(request: Request) -> Response:
    """One thing: /know/substance-copper; a bare name goes there, or asks which is meant."""
    facts, name = load(), request.path_params["id"]
    kind, mark, thing = name.partition("-")
    where: Where | None = next((k for k in KIND_NAMES if k == kind), None)
    if mark and where is not None:
        return _thing(request, facts, where, thing)
    meant = [(k, name) for k in SHELVES if name in things(facts, k)]
    if len(meant) == 1:
        return see_other(url_of(*meant[0]))
    if not meant:
        raise BadInput("name", name, "is nothing known here. Look it up under What we know.")
    rows = [(ONE_OF[k], _row(facts, k, i)) for k, i in meant]
    title = f"“{name.replace('_', ' ')}” is several things"
    return page(request, WhichPage(title=title, place_line="What we know", rows=rows))


def told_of(facts: Facts, kind: Where, thing: str) -> Told:
    """The rows of a thing or of a topic."""
    if kind in TOPICS:
        return topic_page(facts, _place(kind), thing)
    return thing_page(facts, _kind(kind), thing)


def _thing(request: Request, facts: Facts, kind: Where, thing: str) -> Response:
    told = told_of(facts, kind, thing)
    own = None if kind in TOPICS else thing_of(facts, _kind(kind), thing)
    record = facts.kits[thing] if kind == "kit" else own
    known, unknown = _bears(facts, kind, thing)
    record_shown = ThingPage(
        title=heading(told, facts),
        place_line=f"What we know, {KIND_NAMES[kind].lower()}",
        counted=counted(told),
        latin=latin_of(facts, kind, thing) if kind in ("animal", "plant") else "",
        short=short_rows(told, record, facts) if record is not None else [],
        links=[*_seen(facts, kind, thing), *link_groups(links(facts, _kind(kind), thing), kind, facts)]
        if own is not None
        else [],
        bears=known,
        bears_unknown=unknown,
        parted=parted(told, facts),
        sections=sections(told, facts),
        missing=not_known(told, facts),
        sources=titles(told.sources, facts),
        shelf=(KIND_NAMES[kind], f"/know?kind={kind}"),
    )
    return page(request, record_shown)


def _seen(facts: Facts, kind: Where, thing: str) -> list[tuple[str, list[LinkRow]]]:
    """What it looks like under the microscope."""
    rows = [
        LinkRow(
            name=upper(v.name),
            url=f"/guide/microscope/{v.id}",
            soft=f"best at {v.best.removesuffix('x')} times",
        )
        for v in views_of(facts, kind, thing)
    ]
    return [("Under the microscope", rows)] if rows else []


def _bears(facts: Facts, kind: Where, thing: str) -> tuple[list[BearsRow], list[BearsRow]]:
    """What animals, plants and their groups bear; nothing for other things."""
    if kind == "animal":
        return bears_rows(bears_of(facts, facts.animals[thing].group, thing), facts)
    if kind == "plant":
        return bears_rows(bears_of(facts, facts.plants[thing].group), facts)
    return bears_rows(bears_of(facts, thing), facts) if kind == "group" else ([], [])


ROUTES = [Route("/know", show_all), Route("/know/{id}", show_one)]
