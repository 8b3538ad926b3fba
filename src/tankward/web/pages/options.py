"""What can be done: remedies with who bears them, what is ruled out and why, the veterinarian."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from string import ascii_uppercase
from typing import ClassVar
from urllib.parse import urlencode

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.courses import people_said
from tankward.desk.find import find_tank
from tankward.desk.remedy import (
    COUNTED,
    Remedies,
    causes_named,
    counted_said,
    region_named,
    remedies_said,
    remedies_tank,
    young_named,
)
from tankward.desk.sources import titles
from tankward.desk.walk import examine_walk, read
from tankward.judge.vet import Vet, see_vet
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.room.things import Tank
from tankward.show.words import remedies as words
from tankward.show.words import remedy_care as care
from tankward.show.words.acts import listed
from tankward.show.words.cases import here_lines
from tankward.show.words.causes import short_name, vet_head, vet_lines
from tankward.show.words.judge import water_line
from tankward.show.words.people import PEOPLE_ASKED, sore_lines
from tankward.show.words.ruled_out import TUB, animal_reasons, change_of, other_reasons
from tankward.treat.course.without import DATED
from tankward.treat.remedies.records import Option, RuledOut

from ..border import border_of
from ..frame import Page, desk_of, keep, now_of, page, read_form, see_other
from ..walk import address, pairs_of, walk_of
from .causes import Way

FIRST_REASONS = 2  # the others stand in a fold
WAYS = ("water_long", "water_bath", "dip", "feed", "heat")  # by which a course is given
WORKED_OUT = {  # mends the water by a measured amount, not by a published level
    ("ascorbic_acid", "dechlor"): "dechlorinate",
    ("ascorbic_acid", "dechlor_salt"): "dechlorinate",
    ("sodium_thiosulfate", "pentahydrate_7"): "dechlorinate",
    ("sodium_chloride", "nitrite"): "salt-for-nitrite",
    ("sodium_bicarbonate", "raise_kh"): "buffer",
}
MOST_CAUSES, MOST_OTHERS = 3, 3  # met together; offered to be met as well
ANOTHER_FROM = 0.1  # chance from which another is offered [our own choice]
OPEN_ROWS = 6  # more than that stand in a fold: nobody reads further at once
REGIONS = (
    ("", "Don't know: the strictest"),
    ("US", "United States"),
    ("UK", "United Kingdom"),
    ("EU", "European Union"),
    ("DE", "Germany"),
    ("other", "Elsewhere"),
)


class OptionRow(msgspec.Struct, frozen=True, kw_only=True):
    """A remedy that is open."""

    letter: str
    head: str
    fits: str
    level: str
    may: str
    may_url: str
    bears: list[words.Bears]
    reaches: list[str]
    leaves: str  # "" where the page says it once for all
    cautions: list[str]
    steps: tuple[str, ...]
    figures: list[str]
    evidence: str
    sources: list[str]
    law: list[str]
    url: str
    for_what: str  # which of several causes; "" for one
    care: list[str]  # filter and plants, your time, the shelf
    you: list[str]
    here: list[str]  # what it did here before, or in another tank
    recipe: tuple[str, str]  # what giving it in food is, and where that is worked out; "" where it isn't


class ClosedRow(msgspec.Struct, frozen=True, kw_only=True):
    """A remedy that is ruled out here."""

    head: str
    because: list[str]
    more: list[str]
    change: str
    bears: list[words.Bears]


class OptionsPage(Page, frozen=True, kw_only=True):
    """What can be done about a cause."""

    template: ClassVar[str] = "options.html"
    place: ClassVar[str] = "Look"
    water: str
    read_url: str  # where the water was not read and can be
    unknown: list[tuple[str, str, str]]  # what is not known and so was not judged: words, link, its words
    leaves: str
    with_it: list[tuple[str, str]]  # another likely cause to be met as well, with the address
    turns_head: str
    turns: list[tuple[str, str, str]]  # of several causes: margin, head, what comes before
    sorted_by: str
    carried: list[str]
    sore: list[str]  # where a cause may reach people
    counted: str  # what a count under the lens asks for
    count_asked: str  # the question; "" where no cause asked about is counted so
    count_kept: list[tuple[str, str]]
    per_field: str
    thin: str
    rows: list[OptionRow]
    more: list[OptionRow]
    closed: list[ClosedRow]
    tub: tuple[str, str]  # what a tub is for and where it is worked out; "" where nobody is harmed
    region: str
    region_words: str
    regions: tuple[tuple[str, str], ...]
    region_url: str
    region_kept: list[tuple[str, str]]
    region_writes: bool
    people: list[tuple[str, str, str]]  # what is asked of the people near: name, question, answer
    people_open: bool  # nothing else stands in the way, or it was answered
    people_kept: list[tuple[str, str]]
    none_there: list[tuple[str, str]]  # "There are no fry", with the address that says so
    vet: str
    vet_lines: Mapping[str, str]
    causes_url: str
    plan_url: str
    amounts_url: str  # where a tank is described, if none is


class Asked(msgspec.Struct, frozen=True, kw_only=True):
    """What the page is about, and where its links go."""

    causes: tuple[str, ...]
    gone: tuple[str, ...]
    way: Way
    people: Mapping[str, str] = {}  # answers of the people near, by name
    counted: Mapping[str, str] = {}  # what was counted under the lens, as typed
    past: Callable[[Option], list[str]] = lambda _: []  # what a remedy did here before

    def to(self, page: str, **more: str) -> str:
        """A page with the causes, what was said not to be there, and the people near."""
        gone = {} if self.way.walk else {"gone": ",".join(self.gone)}
        return self.way.to(page, cause=",".join(self.causes), **gone, **self.people, **self.counted, **more)


def option_row(option: Option, letter: str, asked: Asked, facts: Facts) -> OptionRow:
    """One remedy."""
    allowed = option.permission
    return OptionRow(
        letter=letter,
        head=words.option_head(option, facts),
        fits=words.fits_words(option),
        level=words.level_words(option.level),
        may=words.may_words(allowed),
        may_url="/shelf" if allowed and not allowed.amounts else "",
        bears=words.bears_rows(option.bears, facts),
        reaches=words.reach_words(option),
        leaves=words.leaves_words([one for one in option.leaves if one.cause not in asked.causes], facts),
        cautions=[*words.caution_words(option), *words.lower_lines(option.bears, facts)],
        steps=option.says[1:],
        figures=[words.figure_words(f) for f in option.figures if f.id != "minutes"],
        evidence=words.evidence_words(option),
        sources=[title for _, title, _ in titles(option.evidence.source.split(), facts) if title],
        law=[law.statement for law in allowed.law] if allowed else [],
        url=course_url(option, asked),
        for_what=care.for_words(option, asked.causes, facts),
        care=care.care_lines(option),
        you=care.you_words(option),
        here=asked.past(option),
        recipe=recipe_way(option, asked),
    )


def course_url(option: Option, asked: Asked) -> str:
    """Where its amounts are worked out; "" where there are none or nobody may have them."""
    if option.remedy in DATED and asked.way.tank is not None:
        return asked.to("course", remedy=option.remedy)
    if option.regimen is None or option.permission is None or not option.permission.amounts:
        return ""
    if worked := WORKED_OUT.get((option.substance, option.regimen.id), ""):
        return f"/work-it-out/{worked}"
    if asked.way.tank is None or option.route not in WAYS:
        return ""
    tub = {"place": "tub"} if option.place == "tub" else {}
    return asked.to(
        "course", substance=option.substance, route=option.route, regimen=option.regimen.id, **tub
    )


def recipe_way(option: Option, asked: Asked) -> tuple[str, str]:
    """What it is, and where what goes into the food is worked out, for a tank or for fish of none."""
    if option.route != "feed" or option.permission is None or not option.permission.amounts:
        return "", ""
    named = {"substance": option.substance, "cause": ",".join(asked.causes)}
    tank = asked.way.tank
    page = f"/tanks/{tank.id}/recipe" if tank else "/recipe"
    return words.IN_FOOD, f"{page}?{urlencode(named)}"


def closed_rows(found: Sequence[RuledOut], facts: Facts, homes: Mapping[str, str]) -> list[ClosedRow]:
    """Remedies that are ruled out; several courses of one remedy are one row."""
    named: dict[str, list[RuledOut]] = {}
    for remedy in found:
        named.setdefault(words.remedy_name(remedy, facts), []).append(remedy)
    return [_closed_row(head, group, facts, homes) for head, group in named.items()]


def _closed_row(head: str, group: Sequence[RuledOut], facts: Facts, homes: Mapping[str, str]) -> ClosedRow:
    reasons = [r for remedy in group for r in remedy.reasons]
    harmed = [v for remedy in group for v in remedy.bears if v.says == "refused"]
    told = ([] if harmed else animal_reasons(reasons)) + other_reasons(reasons)
    return ClosedRow(
        head=head,
        because=told[:FIRST_REASONS],
        more=told[FIRST_REASONS:],
        change=change_of((r.would_change for r in reasons), _home(group, homes)),
        bears=words.bears_rows(harmed, facts),
    )


def _home(group: Sequence[RuledOut], homes: Mapping[str, str]) -> str:
    """The one tank that could take all whom these would harm; "" where there is none."""
    named = {homes.get(r.id, "") for r in group if any(v.says == "refused" for v in r.bears)}
    return named.pop() if len(named) == 1 else ""


def count_of_query(query: Mapping[str, str]) -> dict[str, str]:
    """What the address says was counted under the lens, checked."""
    given = {name: query.get(name, "").strip() for name in ("per_field", "thin")}
    counted_said(given["per_field"], given["thin"])
    return {name: text for name, text in given.items() if text}


def tub_beside(found: Remedies, tank: Tank | None) -> tuple[str, str]:
    """Where a remedy would harm somebody: a tub for them, or for the sick."""
    harmed = any(v.says == "refused" for remedy in found.options.ruled_out for v in remedy.bears)
    return (TUB, f"/tanks/{tank.id}/tub" if tank else "/tub") if harmed else ("", "")


def not_known(found: Remedies, asked: Asked) -> list[tuple[str, str, str]]:
    """What was not told, so that nothing here was judged by it."""
    tank = asked.way.tank
    rows = []
    if not found.stock:
        url = f"/tanks/{tank.id}/stock" if tank else asked.way.to("look") + "#f-animals"
        rows.append((words.NOBODY, url, "Say who lives there"))
    if found.volume_l is None:
        url = f"/tanks/{tank.id}" if tank else asked.way.to("look") + "#f-volume"
        rows.append((words.NO_VOLUME, url, "Say how much"))
    return rows


def young_taken(found: Remedies) -> tuple[str, ...]:
    """Young that are only taken to be there."""
    verdicts = [v for o in found.options.open for v in o.bears]
    verdicts += [v for r in found.options.ruled_out for v in r.bears]
    return tuple(dict.fromkeys(v.limit.presumed for v in verdicts if v.limit.presumed in ("fry", "egg")))


def none_there(found: Remedies, asked: Asked) -> list[tuple[str, str]]:
    """One link for each kind of young that is taken to be there."""
    rows = []
    for young in young_taken(found):
        gone = tuple(dict.fromkeys((*asked.gone, young)))
        walk = msgspec.structs.replace(asked.way.walk, gone=gone) if asked.way.walk else None
        way = msgspec.structs.replace(asked.way, walk=walk)
        said = msgspec.structs.replace(asked, gone=gone, way=way)
        rows.append(("There are no fry" if young == "fry" else "There are no eggs", said.to("options")))
    return rows


def people_asked(found: Remedies, asked: Asked) -> list[tuple[str, str, str]]:
    """The questions about people where a remedy hangs on them, or they were answered."""
    # Where an animal can't bear it, no answer about people would open it.
    hangs = [
        remedy
        for remedy in found.options.ruled_out
        if any(r.kind.startswith("people-") for r in remedy.reasons)
        and not any(v.says == "refused" for v in remedy.bears)
    ]
    if not asked.people and not hangs:
        return []
    return [(name, says, asked.people.get(name, "")) for name, says in PEOPLE_ASKED.items()]


def _people_only(found: Remedies) -> bool:
    """Whether only the people near are still to be asked about."""
    return any(
        remedy.reasons and all(r.kind.startswith("people-") for r in remedy.reasons)
        for remedy in found.options.ruled_out
    )


def people_of_query(query: Mapping[str, str]) -> dict[str, str]:
    """The answers that an address carries.

    Raises
    ------
    BadInput
        For one that is neither yes, no nor dont-know.
    """
    given = {name: query[name] for name in PEOPLE_ASKED if query.get(name)}
    people_said(given)
    return given


def _vet(found: Remedies, facts: Facts) -> Vet:
    visit = next((o.vet for o in found.options.open if o.vet), None)
    if visit is not None:
        return visit
    return found.examined.vet if found.examined else see_vet((), facts)


def with_another(found: Remedies, asked: Asked, facts: Facts) -> list[tuple[str, str]]:
    """Other causes that may be there too: each with the page about it and those asked about."""
    if found.examined is None or not found.examined.evidence.seen or len(asked.causes) >= MOST_CAUSES:
        return []
    ranked = found.examined.ranking.ranked
    others = [r.id for r in ranked if r.value > ANOTHER_FROM and r.id not in asked.causes][:MOST_OTHERS]
    told = []
    for cause in others:
        both = msgspec.structs.replace(asked, causes=(*asked.causes, cause))
        told.append((f"And {short_name(cause, facts)}", both.to("options")))
    return told


def water_lets(found: Remedies, tank: Tank | None) -> str:
    """What the water lets in; in a tank of the room what was not read can be read."""
    return "unread" if tank and found.gate.unknown and found.gate.opens == "sparing" else found.gate.opens


def record(found: Remedies, asked: Asked, facts: Facts) -> OptionsPage:
    """The page of what can be done."""
    ways = [o for o in found.options.open if o.kind != "vet"]
    letters = [*ascii_uppercase, *(f"A{x}" for x in ascii_uppercase)]
    lettered = {o.id: letter for o, letter in zip(ways, letters, strict=False)}
    leaves = {
        words.leaves_words([one for one in o.leaves if one.cause not in asked.causes], facts) for o in ways
    }
    once = leaves.pop() if len(leaves) == 1 else ""
    rows = [option_row(o, letter, asked, facts) for o, letter in zip(ways, letters, strict=False)]
    rows = [msgspec.structs.replace(r, leaves="" if once else r.leaves) for r in rows]
    names = listed([short_name(c, facts) for c in asked.causes])
    tank, visit = asked.way.tank, _vet(found, facts)
    kept = pairs_of(asked.way.walk) if asked.way.walk else [("gone", ",".join(asked.gone))]
    lets = water_lets(found, tank)
    return OptionsPage(
        title=words.options_heading(found.options, facts, lives=bool(found.stock), water=lets),
        place_line=f"{tank.name}, {names}" if tank else f"{names[:1].upper()}{names[1:]}, what can be done",
        tank=tank.id if tank else "",
        water=water_line(found.findings, found.gate),
        read_url=f"/tanks/{tank.id}/log/reading" if tank and lets == "unread" else "",
        unknown=not_known(found, asked),
        leaves=once,
        with_it=with_another(found, asked, facts),
        turns_head=care.turns_heading(found.options),
        turns=care.turn_rows(found.options, lettered, facts),
        sorted_by=care.SORTED,
        carried=care.carries_words(found.options, facts),
        sore=sore_lines(asked.causes, facts),
        counted=care.germs_words(found.germs, found.options.causes, facts),
        count_asked=care.COUNT_ASKED if COUNTED in asked.causes else "",
        count_kept=[
            ("cause", ",".join(asked.causes)),
            *((k, v) for k, v in kept if v),
            *asked.people.items(),
        ],
        per_field=asked.counted.get("per_field", ""),
        thin=asked.counted.get("thin", ""),
        rows=rows[:OPEN_ROWS],
        more=rows[OPEN_ROWS:],
        closed=closed_rows(found.options.ruled_out, facts, found.homes),
        tub=tub_beside(found, tank),
        region=found.region,
        region_words=dict(REGIONS)[found.region] if found.region else "not known, so the strictest",
        regions=REGIONS,
        region_url=asked.to("options") if tank else "/options",
        region_kept=[
            ("cause", ",".join(asked.causes)),
            *((k, v) for k, v in kept if k != "region" and v),
            *asked.people.items(),
            *asked.counted.items(),
        ],
        region_writes=tank is not None,
        people=people_asked(found, asked),
        people_open=bool(asked.people) or _people_only(found),
        people_kept=[
            ("cause", ",".join(asked.causes)),
            *((k, v) for k, v in kept if v),
            *asked.counted.items(),
        ],
        none_there=none_there(found, asked),
        vet=vet_head(visit),
        vet_lines=vet_lines(visit, facts),
        amounts_url="" if tank else "/tanks/new",
        causes_url=asked.way.to("causes", **({"after": "now"} if asked.way.walk else {})),
        plan_url=asked.to("plan") if tank else "",
    )


async def show(request: Request) -> Response:
    """For what was told; nothing is kept. Without a cause the way goes to the fish."""
    facts = load()
    walk = walk_of(request.query_params, facts)
    if not request.query_params.get("cause", "").strip():
        return see_other(address("/look", walk))
    walk = msgspec.structs.replace(walk, region=region_named(walk.region), gone=young_named(walk.gone))
    causes = causes_named(request.query_params.getlist("cause"), facts)
    told = read(walk, facts, desk_of(request).taste)
    people, counted = people_of_query(request.query_params), count_of_query(request.query_params)
    found = remedies_said(
        causes,
        told,
        facts,
        region=walk.region,
        gone=walk.gone,
        people=people_said(people),
        examined=examine_walk(walk, told, facts) if walk.seen else None,
        **counted_said(counted.get("per_field", ""), counted.get("thin", "")),
    )
    asked = Asked(causes=causes, gone=walk.gone, way=Way(walk=walk), people=people, counted=counted)
    return page(request, record(found, asked, facts))


async def show_tank(request: Request) -> Response:
    """For a tank. Without a cause the way goes to what it may be."""
    facts, room = load(), desk_of(request).room()
    tank = find_tank(room, request.path_params["tank"])
    if not request.query_params.get("cause", "").strip():
        return see_other(f"/tanks/{tank.id}/causes")
    causes = causes_named(request.query_params.getlist("cause"), facts)
    gone = young_named(request.query_params.getlist("gone"))
    people, counted = people_of_query(request.query_params), count_of_query(request.query_params)
    found = remedies_tank(
        room, tank.id, causes, now_of(request), facts, gone=gone, people=people_said(people),
        **counted_said(counted.get("per_field", ""), counted.get("thin", "")),
    )  # fmt: skip
    now, zone = now_of(request), str(request.app.state.zone)

    def past(option: Option) -> list[str]:
        return here_lines(option, causes, found.past, tank.id, now, zone)

    asked = Asked(causes=causes, gone=gone, way=Way(tank=tank), people=people, counted=counted, past=past)
    return page(request, record(found, asked, facts))


async def keep_region(request: Request) -> Response:
    """The region is asked once and kept with the kit."""
    typed, facts = await read_form(request), load()
    tank = find_tank(desk_of(request).room(), request.path_params["tank"])
    causes = causes_named([typed.get("cause", "")], facts)
    written = border_of(request).kit({"region": region_named(typed.get("region", ""))})
    gone, people = young_named([typed.get("gone", "")]), people_of_query(typed)
    asked = Asked(causes=causes, gone=gone, way=Way(tank=tank), people=people, counted=count_of_query(typed))
    return keep(request, asked.to("options"), *written.entries)


ROUTES = [
    Route("/options", show),
    Route("/tanks/{tank}/options", show_tank),
    Route("/tanks/{tank}/options", keep_region, methods=["POST"]),
]
