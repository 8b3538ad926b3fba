"""How a course is doing, as it leaves: JSON and terminal."""

from __future__ import annotations

import msgspec

from .results import Result


class SignRow(msgspec.Struct, frozen=True, kw_only=True):
    """A sign counted before the course and since. `expected_*`: how many, if nothing had changed."""

    sign: str
    before: int
    before_of: int
    since: int | None
    since_of: int | None
    expected_low: int | None
    expected_high: int | None
    chance_fewer: float | None
    says: str
    source: str = "none"
    status: str = "computed"


class FitRow(msgspec.Struct, frozen=True, kw_only=True):
    """How well what is seen now fits the cause that the course is against."""

    cause: str
    low: float
    value: float
    high: float
    word: str
    source: str = "none"
    status: str = "computed"


class CountRow(msgspec.Struct, frozen=True, kw_only=True):
    """Counted in the logbook. `day`: of the course, 1 on the day it began; the dead before it and since."""

    day: int
    dead_before: int
    dead_since: int
    source: str = "none"
    status: str = "computed"


class ChancesRow(msgspec.Struct, frozen=True, kw_only=True):
    """By the counts since: that the course bites, that it does too little, that it is another cause.
    `right`: that the cause was right, or that what is given reaches what it is, when the course began.
    `power`: with which the counts counted, 1 in full.
    """

    helping: float
    too_little: float
    other: float
    right: float
    power: float
    says: str
    source: str = "none"
    status: str = "computed"


class ExpectedRow(msgspec.Struct, frozen=True, kw_only=True):
    """One look: how many of `of` were going to show the sign, nine times in ten; and what it showed.
    `parasites`: these were counted, on `of` fish.
    """

    at: str
    sign: str
    of: int
    parasites: bool
    if_helping_low: int
    if_helping_high: int
    if_too_little_low: int
    if_too_little_high: int
    if_other_low: int
    if_other_high: int
    seen_low: int | None
    seen_high: int | None
    says: str
    source: str = "none"
    status: str = "computed"


class TellingRow(msgspec.Struct, frozen=True, kw_only=True):
    """Looks at `of` from `first_on` on, every second day: by `on` they point so often to what is so."""

    first_on: str
    on: str
    of: int
    looks: int
    if_helping: float
    if_not: float
    source: str = "none"
    status: str = "computed"


class FailingRow(msgspec.Struct, frozen=True, kw_only=True):
    """One reason why it may not be helping. `share`: of the chance that it is not; of what comes `beside` the
    others its own chance.
    """

    kind: str
    share: float
    beside: bool
    causes: list[str]
    says: str
    speaks_for: str
    speaks_against: str
    next_look: str
    then: str
    source: str
    status: str


class BackRow(msgspec.Struct, frozen=True, kw_only=True):
    """What comes back, and when; `on` "": not known. `bears`: at most so much is taken to be borne."""

    what: str
    stock: str
    on: str
    bears: float | None
    unit: str
    says: str
    source: str
    status: str


class EndingRow(msgspec.Struct, frozen=True, kw_only=True):
    """How it ends: the last step, the doses, who may not be sold until when, who may be suffering."""

    ends: str
    over: bool
    doses_given: int | None
    doses_at_most: int | None
    doses_to_come: int | None
    courses_within_six_months: int | None
    says: list[str]
    back: list[BackRow]
    not_sold_before: dict[str, str]  # cause -> day; "": for life, or nobody knows how long
    suffering: list[str]
    source: str = "none"
    status: str = "common-practice"


class ProgressResult(Result, frozen=True, kw_only=True):
    """The verdict: helping, too-early or not-helping. `by`: "life" of the organism, or "heads" counted before
    and since alone; then there are no chances. `source`: of how fast the illness shows.
    """

    tank: str
    course: str
    verdict: str
    why: str
    decidable_on: str
    by: str
    chances: ChancesRow | None
    expected_now: ExpectedRow | None
    telling: list[TellingRow]
    failing: list[FailingRow]
    ending: EndingRow
    expected: list[str]
    seen: list[SignRow]
    counted: CountRow
    worse: bool
    fits: FitRow | None
    source: str
    status: str
