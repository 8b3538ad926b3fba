"""What rules a substance out here, whoever lives in the tank: use, record, ceiling, warmth, water."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from tankward.judge.ceilings import ceiling
from tankward.judge.conditions import conditions
from tankward.judge.figures import unit_of
from tankward.judge.findings import spares
from tankward.judge.germs import Germs
from tankward.judge.together import still_there, together
from tankward.judge.waterstate import WaterState
from tankward.knowledge.known import Facts
from tankward.knowledge.records.substance import Regimen, Substance
from tankward.quantities.digits import shown, shown_range
from tankward.quantities.faults import Reason
from tankward.treat.policy import Permission, why_not

from .levels import Span
from .situation import Situation

NEEDS_SEEN = ("ulcer", "fin_rot_base", "frayed_fins", "mouth_eroded", "flat_white_patch", "red_streaks")
WATER = ("water_long", "water_bath", "dip")
READ_AS = {"ammonia_n": "ammonia", "nitrite_n": "nitrite", "ph": "pH", "temp_c": "the temperature"}


def name_of(substance: str, facts: Facts) -> str:
    return facts.substances[substance].names[0].split(" (")[0]


def by_policy(one: Substance, permission: Permission, facts: Facts) -> Iterator[Reason]:
    """Rule 30: a hazard and what is history are never offered; nor is what is for empty equipment."""
    if permission.may in ("hazard", "historic") and (reason := why_not(permission, facts)):
        yield reason
    if one.never_with_animals:
        yield Reason(
            kind="equipment-only",
            because=f"{name_of(one.id, facts)} is for empty equipment, never for water with animals in it.",
            would_change="another remedy",
        )


def by_record(regimen: Regimen) -> Iterator[Reason]:
    """A row that is not recommended is kept to explain, never to propose."""
    if not regimen.recommended:
        noted = f"; noted of it: {regimen.note}" if regimen.note else ""
        yield Reason(
            kind="not-recommended",
            because=f"only kept for the record{noted}",
            would_change="another course of it, or another remedy",
            source=regimen.source,
            status=regimen.status,
        )


def by_ceiling(levels: Mapping[str, Span], facts: Facts) -> tuple[list[Reason], list[Reason]]:
    """Rule 16 and its like: what is refused, and what is warned of."""
    refused: list[Reason] = []
    warned: list[Reason] = []
    for part, (_, value, _) in levels.items():
        found = ceiling(part, value, facts)
        if found.reason is not None:
            (refused if found.says == "refuse" else warned).append(found.reason)
    return refused, warned


def by_warmth(regimen: Regimen, situation: Situation) -> Iterator[Reason]:
    """A regimen for water of another warmth."""
    t = situation.temp_c
    if t is None or regimen.route == "heat":
        return
    low, high = regimen.temp_min_c, regimen.temp_max_c
    if (low is not None and t.value < low) or (high is not None and t.value > high):
        span = shown_range(low, high, "C") if low is not None and high is not None else ""
        one_end = f"from {shown(low, 'C')} up" if low is not None else f"up to {shown(high or 0.0, 'C')}"
        yield Reason(
            kind="temperature",
            because=f"It is for water of {span or one_end}; this is {shown(t.value, 'C')}.",
            would_change="another course of it, or another remedy",
            source=regimen.source,
            status=regimen.status,
        )


def by_water(one: Substance, regimen: Regimen, situation: Situation) -> tuple[list[Reason], list[Reason]]:
    """Rule 20, water first: what is refused until it is mended, and what is only warned of.

    What eases the very fault of the water is not held back by it. With no reading, what takes no oxygen and
    spares the filter stays open. With a sure parasite bad water is a wait with an end, not a "no".
    """
    if not regimen.treats or regimen.route in ("filter", "tool", "swab"):
        return [], []
    gate = situation.gate
    if gate.opens == "water-first":
        return list(gate.reasons), []
    if gate.opens == "after-water":
        return [], list(gate.reasons)
    if gate.opens == "all":
        return [], []
    missing = ", ".join(READ_AS.get(q, q.replace("_", " ")) for q in gate.unknown)
    unknown = Reason(
        kind="water-unknown",
        because=f"The water is not known: {missing} not read.",
        would_change=f"read {missing}",
    )
    return ([], [unknown]) if spares(one.id, situation.facts) else ([unknown], [])


def by_conditions(one: Substance, situation: Situation) -> tuple[Reason, ...]:
    """Rule 30 and the chemistry: what this water and these people must be like."""
    return conditions(
        one.id,
        situation.water or WaterState(),
        situation.facts,
        people=situation.people,
        seen=situation.seen,
        still_in=situation.still_in,
    )


def by_meetings(one: Substance, situation: Situation) -> tuple[list[Reason], list[Reason]]:
    """One medicine at a time: what it must not meet in this water, and what only wants care."""
    usual = {s: situation.usual(s) for s in situation.still_in if s in situation.facts.substances}
    there = still_there(situation.still_in, {s: x for s, x in usual.items() if x is not None})
    met = together(one.id, there, situation.facts)
    return [m.reason for m in met if m.refuses], [m.reason for m in met if not m.refuses]


MOST_COURSES = 3  # safety rule 12
WORDS_OF_COUNT = (
    "Few of them in a fish that is well: healthy fish carry them too. Count again in a week; "
    "nothing goes into the water until then."
)


def by_rounds(one: Substance, situation: Situation) -> Iterator[Reason]:
    """Rule 12: a third course of the same within six months, with no cause seen."""
    before = sum(situation.given.get(p, 0) for p in {one.id, *one.parts})
    reason = None if situation.seen_cause else third_course(one, before)
    if reason is not None:
        yield reason


def third_course(one: Substance, before: int) -> Reason | None:
    """The reason against another course of what was given so often that it is not helping."""
    if before < MOST_COURSES - 1:
        return None
    return Reason(
        kind="third-course",
        because=f"{one.names[0]} was given {before} times here within six months and no cause was seen: it "
        "is not helping. What it cannot reach will not go by a third course.",
        would_change="a fresh dead or dying fish looked at, or the parasite seen",
    )


def by_count(aimed: Iterable[str], situation: Situation) -> Iterator[Reason]:
    """Rule 35: few germs in fish that are well are counted again, not treated."""
    germs = [counted_of(cause, situation) for cause in aimed]
    if germs and all(g is not None and g.then == "count-again" for g in germs):
        found = next(g for g in germs if g is not None)
        yield Reason(
            kind="count-again",
            because=WORDS_OF_COUNT,
            would_change="more of them at the next count, or a fish that gets thin",
            source=found.source,
            status=found.status,
        )


def counted_of(cause: str, situation: Situation) -> Germs | None:
    """What was counted of a parasite that may be waited with; nobody waits where days decide."""
    record, wait = situation.facts.causes[cause], situation.facts.remedies["wait_and_count"]
    if record.group != "parasite" or cause in wait.not_causes:
        return None
    return situation.germs.get(cause)


REST_SEEN = 0.05  # share of the level; less of an earlier dose refuses nothing [our own choice]


def by_rest(levels: Mapping[str, Span], situation: Situation) -> Iterator[Reason]:
    """What an earlier dose has left counts in what was refused, and time or changes would take it out."""
    for part, (_, level, _) in levels.items():
        rest = situation.still_in.get(part, 0.0)
        if rest <= REST_SEEN * level:
            continue
        name, unit = name_of(part, situation.facts), unit_of(situation.facts.substances[part])
        yield Reason(
            kind="still-in",
            because=f"About {shown(rest, unit)} of {name} is still in the water from an earlier dose; "
            "another would stand on top of it.",
            would_change="finish the course that runs, or change it out and ask again",
            status="computed",
        )


def by_antibiotic(one: Substance, situation: Situation) -> Iterator[Reason]:
    """Rule 13: nothing "for what might follow" without an ulcer, rot or a culture."""
    if one.kind == "antibiotic" and not set(NEEDS_SEEN) & set(situation.seen):
        yield Reason(
            kind="antibiotic-without-cause-seen",
            because="An antibiotic is for an ulcer, rot or a germ that was cultured; none of these was seen.",
            would_change="an ulcer, rot, or a culture that shows the germ",
        )
