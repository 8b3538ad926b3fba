"""How a course is doing: the verdict, what was seen against what was expected, what would change it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

import msgspec

from tankward.judge.causes import Ranked
from tankward.judge.expected import Between, Expected
from tankward.judge.helping import Helped
from tankward.judge.hypotheses import IDLE, MOVED, SAID_HELPING, SAID_NOT, TOLD_APART, Chances, moved
from tankward.judge.progress import Compared, Count, Progress
from tankward.judge.telling import Telling
from tankward.knowledge.known import Facts

from .acts import upper
from .causes import short_name
from .days import day_said
from .judge import cause_name, ranked_words
from .outlook import germ_name
from .signs import sign_words
from .status import status_words

HEADS = {
    "before-the-day": "Too early to say. It can be decided {day}.",
    "not-by-counts": "Too early to say. Count again {day}.",
    "within-chance": "The counts can't tell yet. Count again {day}.",
    "not-counted": "Can't be said yet: it takes a count before it and one since. Count them.",
    "fewer": "Helping: fewer show it than chance explains. That does not say it is gone.",
    "as-many": "Not helping: about as many show it as before. Ask again what it may be.",
    "more-dead": "Not helping: more died since than before. Ask again what it may be.",
    "likely": "Helping, by the counts since. That does not say it is gone.",
    "likely-but-deaths": "Fewer show it, and fish still die. Too early to say. Count again {day}.",
    "too-little": "Not helping: what is given does too little.",
    "other-cause": "Not helping, and it may be another cause. Ask again what it may be.",
}
WORSE = "Worse than before it began. Don't wait for the day: read the water, and ask again what it may be."
NOT_GONE = "Fading signs don't say that it is gone. Finish the course, and watch as long as its sheet says."
PACES = {
    "hours": "A day can tell much.",
    "days": "A few days can tell something.",
    "weeks": "A few days say little either way.",
}
VET = "A veterinarian's look at a fresh dead fish would settle what no sign can: in a bag, cool, not frozen."
WHY_NOT = {
    "litres": "How much water there is isn't known, so only heads before and since are compared.",
    "no-life": "How this course acts on what causes it can't be put into numbers, so only heads before and "
    "since are compared.",
    "no-cause": "No cause was named when it began, so only heads before and since are compared.",
}
NO_DAY = "More counts alone may not settle it. A look under the microscope, or a veterinarian's, would."
TEMPERED = "What was entered hardly fits what is known of it, so it was let count for less."


class SeenRow(msgspec.Struct, frozen=True, kw_only=True):
    """One thing compared: what was seen, and what was expected."""

    seen: str
    expected: str


class ChanceRow(msgspec.Struct, frozen=True, kw_only=True):
    """One of what may be so, as so many of ten, with its bar."""

    head: str
    said: str
    value: float


def progress_heading(found: Progress, now: datetime, zone: str) -> str:
    """The verdict in a sentence."""
    if found.helped is not None and found.why == "within-chance" and _leans(found.helped):
        lean = _lean(found.helped.chances)
        return f"{lean} Count again {day_said(found.decidable_on, now, zone)}."
    head = HEADS[found.why if not _never_told(found) else "not-by-counts"]
    return head.format(day=day_said(found.decidable_on, now, zone))


def _never_told(found: Progress) -> bool:
    """Whether no number of counts is known to settle what the day was named for."""
    h = found.helped
    return found.why == "before-the-day" and h is not None and h.telling is None and h.more is None


def _leans(helped: Helped) -> bool:
    """Whether the counts moved it either way."""
    return not 1.0 / MOVED.value < moved(helped.prior, helped.chances) < MOVED.value


def _lean(chances: Chances) -> str:
    if chances.helping >= 0.5:
        return f"Perhaps helping, about {tenths(chances.helping)}: too early to say."
    return f"Perhaps not helping, about {tenths(1.0 - chances.helping)}: too early to say."


def tenths(chance: float) -> str:
    """6 in 10; of what is next to never or next to always, so many in 100 would be false."""
    n = round(10 * chance)
    return "under 1 in 10" if n < 1 else "over 9 in 10" if n > 9 else f"{n} in 10"


def expected_says(found: Progress, facts: Facts, now: datetime, zone: str) -> str:
    """What a look was going to show, if it is helping and if not, and what it showed; "" by heads alone."""
    if found.helped is None:
        return ""
    e = found.helped.expected
    day = day_said(e.at, now, zone)
    when = "By today" if day in ("today", "tonight") else f"By {day}" if e.seen else f"{upper(day)}"
    helps, not_ = _between(e.if_helping, e), _between(e.if_too_little, e)
    said = f"{when} {helps} {_still(e, facts)} if it is helping, {not_} if it does too little"
    return f"{said}{_seen(e)}."


def _between(span: Between, e: Expected) -> str:
    return f"{span.low} to {span.high}" if span.low != span.high else f"{span.low}"


def _still(e: Expected, facts: Facts) -> str:
    if e.single:
        return f"{sign_words(e.sign, facts)} would be counted on {e.of} fish"
    sign = sign_words(e.sign, facts)
    return f"of {e.of} would still show " + (f'"{sign}"' if "," in sign else sign)


def strip_names() -> tuple[str, str]:
    """Of the two strips."""
    return "If it is helping", "If it does too little"


def strip_unit(e: Expected) -> str:
    """What is counted: short, for a strip has little room and the sign stands above it."""
    return f"counted on {e.of} fish" if e.single else f"how many of {e.of} show it"


def _seen(e: Expected) -> str:
    if e.seen is None:
        return ""
    low, high = e.seen
    number = f"{low}" if low == high else f"{low} to {high}"
    return f"; {number if high else 'none'} {'were' if e.single else 'did'}"


def chance_rows(helped: Helped, cause: str, facts: Facts) -> list[ChanceRow]:
    """What may be so, and how likely."""
    c, name = helped.chances, short_name(cause, facts)
    rows = (
        (f"It is {name}, and the course helps", c.helping),
        (f"It is {name}, and what is given does too little", c.too_little),
        ("Something else, which this does not reach", c.other),
    )
    return [ChanceRow(head=head, said=tenths(value), value=value) for head, value in rows]


def telling_says(found: Progress, now: datetime, zone: str) -> list[str]:
    """On which day looks will tell, and at how many fish."""
    if found.helped is None or found.verdict != "too-early":
        return []
    usual, more = found.helped.telling, found.helped.more
    if usual is None and more is None:
        return [NO_DAY]
    told = [_tells(usual, now, zone)] if usual else []
    if more:
        sooner = f"With {more.of} looked at each time it can be decided {day_said(more.on, now, zone)}."
        told.append(sooner if usual else f"{sooner} With as many as last time the counts alone may not tell.")
    return told


def _tells(t: Telling, now: datetime, zone: str) -> str:
    by = day_said(t.on, now, zone)
    often = f"the right way about {round(10 * min(t.if_helping, t.if_not))} times in 10"
    if t.looks == 1:
        return f"Count {t.of} {by}: that count points {often}."
    first = day_said(t.first, now, zone)
    return f"Count {t.of} every second day from {first} on: by {by} the counts point {often}."


def progress_rows(found: Progress, facts: Facts, now: datetime, zone: str) -> list[SeenRow]:
    """Each sign before and since, then the dead."""
    rows = [_row(r, facts, now, zone, bare=found.by_life) for r in found.rows]
    return [*rows, SeenRow(seen=_dead(found), expected="")]


def _row(row: Compared, facts: Facts, now: datetime, zone: str, *, bare: bool) -> SeenRow:
    sign = upper(sign_words(row.sign, facts))
    before = f"{_of(row.before)} {day_said(row.before.at, now, zone)}"
    if row.since is None or row.expected is None:
        return SeenRow(seen=f"{sign}: {before}, not counted since", expected="")
    low, high = row.expected
    return SeenRow(
        seen=f"{sign}: {before}, {_of(row.since)} {day_said(row.since.at, now, zone)}",
        expected="" if bare else f"If nothing had changed, {low} to {high} of {row.since.of} would show it.",
    )


def _of(count: Count) -> str:
    return f"{count.ill or 'none'} of {count.of}"


def _dead(found: Progress) -> str:
    before, since = (str(n) if n else "none" for n in (found.dead_before, found.dead_since))
    return f"Found dead: {before} in the two weeks before it, {since} since"


def always(found: Progress) -> list[str]:
    """What is said with every verdict."""
    return [*([WORSE] if found.worse else []), NOT_GONE, VET]


def resting_on(found: Progress, fits: Ranked | None, facts: Facts, why_not: str = "") -> list[str]:
    """How likely it is that illness at all, how fast it shows, what would change the plan."""
    told = [*_cause(found, fits, facts), *_life(found, facts)]
    if why_not:
        told.append(WHY_NOT[why_not])
    return [*told, changing(found)]


def _cause(found: Progress, fits: Ranked | None, facts: Facts) -> Iterator[str]:
    name = cause_name(found.course.cause, facts).split(" (")[0]
    if fits is not None:
        yield f"That it is {name} at all, by what is seen now: {ranked_words(fits)}."
    if found.pace:
        said = status_words(found.pace_status)
        yield f"As a rule it shows over {found.pace} ({said}). {PACES[found.pace]}"


def _life(found: Progress, facts: Facts) -> Iterator[str]:
    """How the chances were reckoned, and the choices in them."""
    helped = found.helped
    if helped is None:
        return
    name = germ_name(helped.organism, found.course.cause, facts)
    yield (
        f"Reckoned by the life of {name} in this tank, with what was given and without; another cause is "
        "taken to spread rather than to fade (our own choice)."
    )
    yield (
        f"When it began, the chance that the cause was right or that this reaches what it is was "
        f"{tenths(helped.right)} by what was seen; at least an even one is taken. That a medicine does "
        f"nothing here though it does elsewhere is taken as {tenths(IDLE.value)} (our own choice)."
    )
    right = max(1.0 - helped.prior.other, 1e-9)
    helps = tenths(helped.prior.helping / right)
    yield (
        f"Where the cause is right, such a course at least halves it in about {helps} tanks like this one, "
        "by what is known of it."
    )
    yes, no, apart = (round(100 * x.value) for x in (SAID_HELPING, SAID_NOT, TOLD_APART))
    yield (
        f"Helping is said from {yes} in 100 up, not helping from {no} in 100 down; a day is named once "
        f"counts point the right way {apart} times in 100. In over 1,000 invented outbreaks each was said "
        "wrongly in under 5 of 100."
    )
    if helped.power < 1.0:
        yield TEMPERED


def changing(found: Progress) -> str:
    """What would change the plan before the day."""
    worst = [f"more than {r.expected[1]} of {r.since.of}" for r in found.rows if r.expected and r.since]
    told = [*(f"{w} with it" for w in worst[:1]), "a death", "one that lies down or gasps", "bad water"]
    return f"What would change the plan: {', '.join(told[:-1])} or {told[-1]}."
