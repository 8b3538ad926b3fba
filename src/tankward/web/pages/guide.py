"""Guides: a dropping, a scrape, gills, a dead fish, a sample, cold; and what is seen under the microscope."""

from __future__ import annotations

from typing import ClassVar

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.knowledge.records.keeping import View
from tankward.quantities.faults import BadInput
from tankward.show.drawings.germs import extent_of
from tankward.show.drawings.hands import hand
from tankward.show.drawings.lens import GERMS, close_up, field
from tankward.show.drawings.svg import Svg
from tankward.show.words import guides as words
from tankward.show.words import microscope
from tankward.show.words.acts import upper
from tankward.show.words.causes import short_name

from ..frame import Page, page

MICROSCOPE = "/guide/microscope"
PLACE_LINE = "How to look closer"


class GuideRow(msgspec.Struct, frozen=True, kw_only=True):
    """One line of a list that leads on."""

    head: str
    soft: str
    url: str


class Drawn(msgspec.Struct, frozen=True, kw_only=True):
    """A drawing with its words."""

    head: str
    drawing: Svg
    says: str


class GuidesPage(Page, frozen=True, kw_only=True):
    """All guides."""

    template: ClassVar[str] = "guides.html"
    place: ClassVar[str] = "Look"
    rows: list[GuideRow]


class GuidePage(Page, frozen=True, kw_only=True):
    """One guide."""

    template: ClassVar[str] = "guide.html"
    place: ClassVar[str] = "Look"
    why: str
    hazards: tuple[str, ...]
    drawing: Svg
    steps: list[tuple[str, str]]  # head, how
    sure: str
    means: list[str]
    seen: list[GuideRow]
    onward: list[GuideRow]


class MicroscopePage(Page, frozen=True, kw_only=True):
    """Every germ there is a drawing of, and what is taken for one."""

    template: ClassVar[str] = "microscope.html"
    place: ClassVar[str] = "Look"
    why: str
    germs: list[GuideRow]
    alike: list[Drawn]
    grades: list[str]


class GermPage(Page, frozen=True, kw_only=True):
    """One germ at 40, 100 and 400 times."""

    template: ClassVar[str] = "microscope_germ.html"
    place: ClassVar[str] = "Look"
    why: str
    close: Svg
    legend: str
    fields: list[Drawn]
    alike: list[Drawn]
    grades: list[str]
    onward: list[GuideRow]


async def show_all(request: Request) -> Response:
    guides = [
        GuideRow(head=g.row, soft=f"About {g.minutes} minutes. {g.why}", url=f"/guide/{g.word}")
        for g in words.GUIDES.values()
    ]
    lens = GuideRow(
        head="What is seen under the microscope", soft="Each germ at 40, 100 and 400 times", url=MICROSCOPE
    )
    return page(request, GuidesPage(title=PLACE_LINE, place_line=PLACE_LINE, rows=[lens, *guides]))


async def show(request: Request) -> Response:
    facts, word = load(), request.path_params["what"]
    guide = words.GUIDES.get(word)
    if guide is None:
        raise BadInput("guide", word, f"is not known. Known are {', '.join(words.GUIDES)}, microscope.")
    seen_in = [v for v in facts.hygiene.view if word in microscope.guides_of(v)]
    record = GuidePage(
        title=guide.title,
        place_line=guide.row,
        why=guide.why,
        hazards=guide.hazards,
        drawing=hand(word),
        steps=[(s.head, s.how) for s in guide.steps],
        sure=words.sure_words(guide, facts),
        means=[*guide.means, *([words.COUNT, *_grades(facts)] if seen_in else [])],
        seen=[_germ_row(v) for v in seen_in],
        onward=[GuideRow(head=g.row, soft="", url=f"/guide/{g.word}") for g in _after(word)],
    )
    return page(request, record)


AFTER = {  # what may come next
    "post-mortem": ("gill-clip", "scrape", "cold", "sample"),
    "gill-clip": ("post-mortem", "cold"),
    "cold": ("sample", "post-mortem"),
    "sample": ("cold",),
    "scrape": ("sample",),
    "faeces": ("sample",),
}


def _after(word: str) -> list[words.Guide]:
    return [words.GUIDES[w] for w in AFTER[word]]


def _grades(facts: Facts) -> list[str]:
    return [words.grade_line(facts), *words.GRADE_ACTS]


def _germ_row(view: View) -> GuideRow:
    soft = f"{upper(view.seen)}. Best at {view.best.removesuffix('x')} times."
    return GuideRow(head=upper(view.name), soft=soft, url=f"{MICROSCOPE}/{view.id}")


async def show_microscope(request: Request) -> Response:
    facts = load()
    record = MicroscopePage(
        title="What moves, and how, tells more than its shape",
        place_line="Under the microscope",
        why="40 times for worms and white spot, 100 for most, 400 for what flickers and darts.",
        germs=[_germ_row(v) for v in facts.hygiene.view],
        alike=[_alike(a.id, a.name, a.seen, a.told_by) for a in facts.hygiene.look_alike],
        grades=[words.NOT_PROVED, words.COUNT, *_grades(facts)],
    )
    return page(request, record)


def _alike(ident: str, name: str, seen: str, told_by: str) -> Drawn:
    return Drawn(
        head=upper(name),
        drawing=close_up(ident, None, f"{upper(name)}, drawn: {seen}"),
        says=f"{upper(seen)}. Told by: {told_by}.",
    )


async def show_germ(request: Request) -> Response:
    facts, word = load(), request.path_params["germ"]
    view = next((v for v in facts.hygiene.view if v.id == word), None)
    if view is None:
        known = ", ".join(v.id for v in facts.hygiene.view)
        raise BadInput("germ", word, f"is not drawn here. Drawn are {known}.")
    size = microscope.size_um(view)
    name = upper(view.name)
    record = GermPage(
        title=microscope.head(view),
        place_line="Under the microscope",
        why=f"{upper(view.moves)}. {microscope.from_words(view)}.",
        close=close_up(view.id, size, f"{name}, close up: {view.seen}"),
        legend=microscope.legend(view),
        fields=_fields(view, facts, size) if size is not None else [],
        alike=[_alike(a.id, a.name, a.seen, a.told_by) for a in microscope.alike_of(view, facts)],
        grades=[words.NOT_PROVED, *_grades(facts)],
        onward=_onward(view, facts),
    )
    return page(request, record)


def _fields(view: View, facts: Facts, size: float) -> list[Drawn]:
    return [
        Drawn(
            head=f"{f.times} times",
            drawing=field(view.id, size, f.across_um, f"{upper(view.name)} at {f.times} times: {f.says}"),
            says=f"{upper(f.says)}.",
        )
        for f in microscope.fields_of(view, facts, extent_of(GERMS[view.id]))
    ]


def _onward(view: View, facts: Facts) -> list[GuideRow]:
    rows = [
        GuideRow(head=words.GUIDES[g].row, soft="How it is taken", url=f"/guide/{g}")
        for g in microscope.guides_of(view)
    ]
    if view.cause:
        name = upper(short_name(view.cause, facts))
        rows.append(GuideRow(head=name, soft="The illness", url=f"/know/cause-{view.cause}"))
    if view.organism:
        organism = facts.organisms[view.organism]
        rows.append(GuideRow(head=organism.name, soft="The germ", url=f"/know/organism-{view.organism}"))
    return rows


ROUTES = [
    Route("/guide", show_all),
    Route(MICROSCOPE, show_microscope),
    Route(MICROSCOPE + "/{germ}", show_germ),
    Route("/guide/{what}", show),
]
