"""How a course is doing: the verdict, what was seen against what was expected, what would change it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

import msgspec

from tankward.judge.causes import Ranked
from tankward.judge.progress import Compared, Count, Progress
from tankward.knowledge.known import Facts

from .acts import upper
from .days import day_said
from .judge import cause_name, ranked_words
from .signs import sign_words
from .status import status_words

HEADS = {
    "before-the-day": "Too early to say. It can be decided {day}.",
    "within-chance": "The counts can't tell yet. Count again {day}.",
    "not-counted": "Can't be said: not counted before and since. Count them.",
    "fewer": "Helping: fewer show it than chance explains. That does not say it is gone.",
    "as-many": "Not helping: about as many show it as before. Ask again what it may be.",
    "more-dead": "Not helping: more died since than before. Ask again what it may be.",
}
WORSE = "Worse than before it began. Don't wait for the day: read the water, and ask again what it may be."
NOT_GONE = "Fading signs don't say that it is gone. Finish the course, and watch as long as its sheet says."
PACES = {
    "hours": "A day can tell much.",
    "days": "A few days can tell something.",
    "weeks": "A few days say little either way.",
}
VET = "A veterinarian's look at a fresh dead fish would settle what no sign can: in a bag, cool, not frozen."


class SeenRow(msgspec.Struct, frozen=True, kw_only=True):
    """One thing compared: what was seen, and what was expected."""

    seen: str
    expected: str


def progress_heading(found: Progress, now: datetime, zone: str) -> str:
    """The verdict in a sentence."""
    return HEADS[found.why].format(day=day_said(found.decidable_on, now, zone))


def progress_rows(found: Progress, facts: Facts, now: datetime, zone: str) -> list[SeenRow]:
    """Each sign before and since, then the dead."""
    rows = [_row(r, facts, now, zone) for r in found.rows]
    return [*rows, SeenRow(seen=_dead(found), expected="")]


def _row(row: Compared, facts: Facts, now: datetime, zone: str) -> SeenRow:
    sign = upper(sign_words(row.sign, facts))
    before = f"{_of(row.before)} {day_said(row.before.at, now, zone)}"
    if row.since is None or row.expected is None:
        return SeenRow(seen=f"{sign}: {before}, not counted since", expected="")
    low, high = row.expected
    return SeenRow(
        seen=f"{sign}: {before}, {_of(row.since)} {day_said(row.since.at, now, zone)}",
        expected=f"If nothing had changed, {low} to {high} of {row.since.of} would show it.",
    )


def _of(count: Count) -> str:
    return f"{count.ill or 'none'} of {count.of}"


def _dead(found: Progress) -> str:
    before, since = (str(n) if n else "none" for n in (found.dead_before, found.dead_since))
    return f"Found dead: {before} in the two weeks before it, {since} since"


def always(found: Progress) -> list[str]:
    """What is said with every verdict."""
    return [*([WORSE] if found.worse else []), NOT_GONE, VET]


def resting_on(found: Progress, fits: Ranked | None, facts: Facts) -> list[str]:
    """How likely it is that illness at all, how fast it shows, what would change the plan."""
    return [*_cause(found, fits, facts), changing(found)]


def _cause(found: Progress, fits: Ranked | None, facts: Facts) -> Iterator[str]:
    name = cause_name(found.course.cause, facts).split(" (")[0]
    if fits is not None:
        yield f"That it is {name} at all, by what is seen now: {ranked_words(fits)}."
    if found.pace:
        said = status_words(found.pace_status)
        yield f"As a rule it shows over {found.pace} ({said}). {PACES[found.pace]}"


def changing(found: Progress) -> str:
    """What would change the plan before the day."""
    worst = [f"more than {r.expected[1]} of {r.since.of}" for r in found.rows if r.expected and r.since]
    told = [*(f"{w} with it" for w in worst[:1]), "a death", "one that lies down or gasps", "bad water"]
    return f"What would change the plan: {', '.join(told[:-1])} or {told[-1]}."
