"""Past cases in words: what was seen, what it was taken for, what was done, how it ended; what worked."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.time import local
from tankward.room.treated import Treated
from tankward.treat.remedies.records import Option
from tankward.treat.supplies import Need

from .acts import ended, upper
from .after import outcome_words, signs_said
from .causes import short_name
from .supplies import cost_line
from .today import number_word

NONE = "No case is over yet"
NONE_SAYS = (
    "A case is kept once its course is closed: what was seen, what it was taken for, what was done, how it "
    "ended, how long it took, what it cost. The next time it is used."
)
MARKS = {"cleared": "done", "no_change": "out", "worse": "danger", "": "unknown", "not_known": "unknown"}
HELPED = {"cleared": "cleared it, as far as could be seen", "better": "made it better"}
FAILED = {"no_change": "did not help", "worse": "did not help: it was worse after it"}


class Case(Protocol):
    """A course that is over, with what stood around it."""

    @property
    def tank(self) -> str: ...
    @property
    def tank_name(self) -> str: ...
    @property
    def course(self) -> Treated: ...
    @property
    def signs(self) -> tuple[str, ...]: ...
    @property
    def days(self) -> int: ...
    @property
    def dead(self) -> int: ...
    @property
    def needs(self) -> tuple[Need, ...]: ...


class CaseRow(msgspec.Struct, frozen=True, kw_only=True):
    """One case: when, where, what was done, then each line of it."""

    margin: str
    sub: str
    head: str
    mark: str
    outcome: str
    lines: tuple[str, ...]
    url: str


def case_row(case: Case, now: datetime, zone: str, facts: Facts) -> CaseRow:
    """One case."""
    one = case.course
    return CaseRow(
        margin=case.tank_name,
        sub=date_of(one.begun.at, now, zone),
        head=upper(one.begun.name),
        mark=MARKS.get(one.outcome, ""),
        outcome=how_it_ended(one),
        lines=tuple(_lines(case, facts)),
        url=f"/tanks/{case.tank}",
    )


def how_it_ended(one: Treated) -> str:
    """Its outcome; that nobody told it, where nobody did."""
    if one.outcome:
        return outcome_words(one.outcome)
    return "Stopped; how it ended was not told" if one.stopped else "How it ended was not told"


def _lines(case: Case, facts: Facts) -> list[str]:
    one = case.course
    took = "one day" if case.days == 1 else f"{case.days} days"
    stop = one.stopped.why if one.stopped else ""
    lines = [
        f"Seen: {signs_said(case.signs, facts)}." if case.signs else "No sign was written down.",
        f"Taken to have been {short_name(one.cause, facts)}." if one.cause else "What it was is not known.",
        f"{upper(took)}; {dead_words(case.dead)}.",
        ended(f"Stopped: {stop}") if stop else "",
        cost_line(case.needs),
        ended(one.closed.note) if one.closed and one.closed.note else "",
    ]
    return [line for line in lines if line]


def dead_words(dead: int) -> str:
    """How many died."""
    return "none died" if not dead else "one died" if dead == 1 else f"{dead} died"


def date_of(at: datetime, now: datetime, zone: str) -> str:
    """3 May, with its year where it is another."""
    there = local(at, zone)
    year = "" if there.year == local(now, zone).year else f" {there.year}"
    return f"{there.day} {there:%b}{year}"


def cases_heading(cases: Sequence[Case], tank: str = "") -> str:
    """How many, and how many of them were cleared."""
    where = f" in {tank}" if tank else ""
    if not cases:
        return f"{NONE}{where}"
    cleared = sum(c.course.outcome == "cleared" for c in cases)
    number = upper(number_word(len(cases)))
    many = f"{number} {'case' if len(cases) == 1 else 'cases'}"
    those = "" if len(cases) == 1 else f"{number_word(cleared)} "
    tail = f", {those}cleared as far as could be seen" if cleared else ""
    return f"{many}{where}{tail}"


def here_lines(option: Option, causes: Sequence[str], cases: Sequence[Case], tank: str, now: datetime,
               zone: str) -> list[str]:  # fmt: skip
    """What the same remedy did here, or in another tank of the room, for the same: the newest of each.

    A case whose cause is not known is told as that; one of another cause says nothing.
    """
    told: dict[tuple[bool, str], str] = {}
    for case in cases:
        one = case.course
        if not same_remedy(option, one) or (one.cause and one.cause not in causes):
            continue
        done = HELPED.get(one.outcome) or FAILED.get(one.outcome)
        if done is None:
            continue
        here = case.tank == tank
        where = "Here" if here else f"In {case.tank_name}"
        unknown = "" if one.cause else " (what it was is not known)"
        line = f"{where} it {done}, {date_of(one.begun.at, now, zone)}{unknown}."
        told.setdefault((not here, one.outcome), line)
    return [told[key] for key in sorted(told)]


def same_remedy(option: Option, one: Treated) -> bool:
    """Whether a course was this remedy: the same substance by the same way, or the same without medicine."""
    if option.substance:
        return one.begun.substance == option.substance and one.begun.route == option.route
    return bool(option.remedy) and one.begun.remedy == option.remedy
