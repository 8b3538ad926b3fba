"""What it may be: the water first, then the causes with their ranges, then the look that tells most."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import ClassVar

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.examine import Examination, examine_tank
from tankward.desk.find import find_tank
from tankward.desk.next_result import results_of
from tankward.desk.walk import Walk, breathes, examine_walk, read
from tankward.judge.breathing import breathing
from tankward.judge.causes import Ranked, Ranking
from tankward.judge.finding import Finding
from tankward.judge.next_look import NextLook
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.room.time import hours_between
from tankward.show.words import causes as words
from tankward.show.words.breathing import breathing_words
from tankward.show.words.chance import chance_words, of_ten
from tankward.show.words.closer import counted_words
from tankward.show.words.days import day_said
from tankward.show.words.judge import causes_heading, finding_head, finding_why, urgent_heading, water_line
from tankward.show.words.status import status_words
from tankward.show.words.told import doubt_lines

from ..closer import Closer, closer_of
from ..frame import Page, desk_of, now_of, page, see_other
from ..walk import address, walk_of

WORTH_A_ROW = 0.05  # a cause under it is "extremely unlikely": it stands in the fold below
LEAST_ROWS, MOST_ROWS = 3, 7
FOLDED = 12  # rows in the fold; what lies under them is as good as nothing
WEEK_H = 168.0
MARKS = {"danger": "danger", "caution": "caution", "unknown": "unknown"}


class CauseRow(msgspec.Struct, frozen=True, kw_only=True):
    """One cause with its range."""

    name: str
    covers: str
    chance: str
    tens: str
    low: float
    high: float
    why: str
    people: str
    basis: str
    url: str


class FoundRow(msgspec.Struct, frozen=True, kw_only=True):
    """One thing found in the water."""

    mark: str
    head: str
    why: str


class LookRow(msgspec.Struct, frozen=True, kw_only=True):
    """A look that would tell something."""

    head: str
    soft: str
    url: str


class CausesPage(Page, frozen=True, kw_only=True):
    """What it may be."""

    template: ClassVar[str] = "causes.html"
    place: ClassVar[str] = "Look"
    said: bool  # False: no sign was told
    water: str
    water_mark: str
    found: list[FoundRow]
    read_url: str
    first: str  # the urgent heading, "" where nothing is urgent
    now_url: str
    rows: list[CauseRow]
    folded: list[CauseRow]
    other: CauseRow
    well: CauseRow
    doubts: list[str]
    breath: str
    counted: str  # under the microscope
    closer: Closer
    tells: str  # what a sign comes to, where keepers take it for more
    best: LookRow | None
    results: list[tuple[str, str]]
    looks: list[LookRow]
    lens: str
    look_url: str
    plan: tuple[str, str]  # the first cause in words, and the way to its plan; both "" where there is none
    seen: str
    absent: str
    missing: str
    vet: str
    vet_lines: Mapping[str, str]


class Way(msgspec.Struct, frozen=True, kw_only=True):
    """Where the links of the page go: into a tank of the room, or on with what was told."""

    tank: Tank | None = None
    walk: Walk | None = None

    def to(self, page: str, **more: str) -> str:
        base = f"/tanks/{self.tank.id}" if self.tank else ""
        return address(f"{base}/{page}", self.walk, more)


def cause_row(r: Ranked, way: Way, facts: Facts) -> CauseRow:
    """One cause."""
    known = facts.causes.get(r.id)
    name = words.short_name(r.id, facts)
    return CauseRow(
        name=name[:1].upper() + name[1:],
        covers=words.covers(r.id, facts),
        chance=chance_words(r.low, r.high, r.value),
        tens=of_ten(r.value),
        low=r.low,
        high=r.high,
        why=words.why_moved(r, facts),
        people=words.people_words(r.human_hazard),
        basis=status_words(known.basis.status) if known else "",
        url=way.to("options", cause=r.id),
    )


def bare_row(r: Ranked, name: str) -> CauseRow:
    """What is on no list, and that nothing may be wrong: a range and no way onward."""
    return CauseRow(
        name=name, covers="", chance=chance_words(r.low, r.high, r.value), tens=of_ten(r.value),
        low=r.low, high=r.high, why="", people="", basis="", url="",
    )  # fmt: skip


def parted(ranking: Ranking) -> tuple[list[Ranked], list[Ranked]]:
    """Those that are worth a row, and those in the fold."""
    worth = sum(r.value >= WORTH_A_ROW for r in ranking.ranked)
    shown = min(max(worth, LEAST_ROWS), MOST_ROWS)
    return list(ranking.ranked[:shown]), list(ranking.ranked[shown : shown + FOLDED])


def water_mark(found: tuple[Finding, ...], unknown: bool) -> str:
    """The mark of the water line."""
    bad = [f.severity for f in found if f.blocks_medicine and f.severity in ("danger", "caution")]
    return ("danger" if "danger" in bad else "caution") if bad else "unknown" if unknown else "done"


def look_row(look: NextLook, way: Way, facts: Facts) -> LookRow:
    """A look, with the place where it is answered if it is a sign."""
    url = way.to("ask", at=look.id) if look.id in facts.signs else ""
    return LookRow(head=words.look_head(look, facts), soft=words.look_soft(look), url=url)


def results_words(look: NextLook, found: Examination, facts: Facts) -> list[tuple[str, str]]:
    """What each result of a look would do."""
    told = []
    for result in results_of(look, found.evidence, facts):
        name = words.short_name(result.cause, facts) if result.cause else "something not on this list"
        chance = chance_words(result.low, result.high, result.value)
        head = ("Seen" if result.shows else "Not there") if look.id in facts.signs else (
            "It shows" if result.shows else "Nothing"
        )  # fmt: skip
        told.append((head, f"{name[:1].upper()}{name[1:]} comes first: {chance}."))
    return told


def record(found: Examination, way: Way, facts: Facts, breath: str) -> CausesPage:
    """The page of an examination."""
    worth, folded = parted(found.ranking)
    evidence, tank = found.evidence, way.tank
    said = bool(evidence.seen)
    best = found.next_look[0] if found.next_look else None
    return CausesPage(
        title=causes_heading(found.ranking, facts) if said else words.NOTHING_SEEN,
        place_line=f"{tank.name}, what it may be" if tank else "What it may be",
        tank=tank.id if tank else "",
        said=said,
        water=water_line(found.findings, found.gate, said),
        water_mark=water_mark(found.findings, bool(found.gate.unknown)),
        found=[
            FoundRow(mark=MARKS[f.severity], head=finding_head(f), why=finding_why(f))
            for f in found.findings
            if f.severity in ("danger", "caution")
        ],
        read_url=f"/tanks/{tank.id}/log/reading" if tank else way.to("look") + "#f-water",
        first=urgent_heading(found.urgent, tank.name if tank else "") if found.urgent else "",
        now_url=way.to("now"),
        rows=[cause_row(r, way, facts) for r in worth] if said else [],
        folded=[cause_row(r, way, facts) for r in folded] if said else [],
        other=bare_row(found.ranking.unlisted, "Something not on this list"),
        well=bare_row(found.ranking.nothing_wrong, "Nothing is wrong"),
        best=look_row(best, way, facts) if best else None,
        results=results_words(best, found, facts) if best and said else [],
        looks=[look_row(n, way, facts) for n in found.next_look[1:4]],
        lens=words.lens_words(found.ranking.ranked, facts) if said else "",
        look_url=way.to("look"),
        plan=plan_way(worth[0], way, facts) if said and worth and tank else ("", ""),
        doubts=doubt_lines(evidence, facts),
        breath=breath,
        counted=counted_words(found.counted, facts),
        closer=closer_of(found, facts, tank.id if tank else ""),
        tells=words.tells_words(evidence.seen, facts),
        seen=words.said_words(evidence.seen, facts),
        absent=words.said_words(evidence.absent, facts),
        missing=words.missing_words(m for m in found.ranking.missing if m != "vent"),
        vet=words.vet_head(found.vet),
        vet_lines=words.vet_lines(found.vet, facts),
    )


def plan_way(first: Ranked, way: Way, facts: Facts) -> tuple[str, str]:
    """To the courses against what comes first; none where nothing would be given against it."""
    if not (cause := facts.causes.get(first.id)) or not cause.organisms:
        return "", ""
    return words.short_name(first.id, facts), way.to("plan", cause=first.id)


def breath_of(room: Room, tank: str, facts: Facts, now: datetime) -> str:
    """The newest count of gill beats of a week, beside those before it."""
    looks = [x for x in room.looks(tank) if x.gill_beats_per_min and 0 <= hours_between(x.at, now) <= WEEK_H]
    if not looks:
        return ""
    *before, last = looks
    told = breathing(last.gill_beats_per_min, last.gill_beats_well_per_min, facts)
    earlier = [(f"{day_said(x.at, now, x.zone)}", x.gill_beats_per_min or 0.0) for x in before[-2:]]
    return breathing_words(told, tuple(earlier))


async def show(request: Request) -> Response:
    """For what was told; what is urgent comes first, once."""
    facts = load()
    walk = walk_of(request.query_params, facts)
    found = examine_walk(walk, read(walk, facts, desk_of(request).taste), facts)
    if found.urgent and not request.query_params.get("after"):
        return see_other(address("/now", walk))
    return page(request, record(found, Way(walk=walk), facts, breathing_words(breathes(walk, facts))))


async def show_tank(request: Request) -> Response:
    facts, room = load(), desk_of(request).room()
    tank = find_tank(room, request.path_params["tank"])
    now = now_of(request)
    found = examine_tank(room, tank.id, now, facts)
    return page(request, record(found, Way(tank=tank), facts, breath_of(room, tank.id, facts, now)))


ROUTES = [Route("/causes", show), Route("/tanks/{tank}/causes", show_tank)]
