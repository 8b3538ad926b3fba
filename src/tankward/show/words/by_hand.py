"""A course that is changed by hand, in words: its rows, and what stands against it."""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.treat.course.records import Course
from tankward.treat.planner.checked import broken
from tankward.treat.planner.danger import danger_of, name_of
from tankward.treat.planner.records import MOST, Line, Score

from .acts import ended, part_words, upper
from .course import course_name
from .days import clock, day_said
from .plan import line_words

WHY = "Each change is judged again: what it would do to the animals and the water stands below."


def hand_heading(course: Course | None, substance: str, tank: str, facts: Facts) -> str:
    """What is changed."""
    if course is not None and (course.substance or course.remedy):
        return f"{upper(course_name(course, facts))} in {tank}, by hand."
    name = facts.substances[substance].names[0] if substance in facts.substances else "This course"
    return f"{upper(name)} in {tank}, by hand."


def row_head(kind: str, at: datetime, share: float, amount: str, now: datetime, zone: str) -> str:
    """Tomorrow 21:30: give 20.6 g."""
    day = f"{upper(day_said(at, now, zone))} {clock(at, zone)}"
    what = {"dose": f"give {amount}", "change": f"change {part_words(share)}", "siphon": "siphon the floor"}
    return f"{day}: {what[kind]}"


TICK_FIRST = "Not begun: tick each danger that you take, or change the course."
AT, MUCH = "When?", {"dose": "How much of it?", "change": "How much of the water?"}


class DangerSaid(msgspec.Struct, frozen=True, kw_only=True):
    """A line that it would pass: how far it goes, what would mend it, and what is ticked."""

    key: str
    says: str
    mends: str
    short: str


def danger_rows(score: Score, keys: tuple[str, ...], facts: Facts) -> list[DangerSaid]:
    """Each of them, by its key."""
    found = [(key, line, danger_of(line, facts)) for key, line in zip(keys, broken(score), strict=True)]
    return [
        DangerSaid(
            key=key, says=ended(r.because), mends=f"Would mend it: {ended(r.would_change).lower()}",
            short=f"{upper(name_of(line, facts))} may go too far",
        )
        for key, line, r in found
    ]  # fmt: skip


def verdict_words(dangers: list[DangerSaid], refused: bool, pending: bool, judged: bool) -> tuple[str, str]:
    """The mark and the words that stay in sight while a row is changed."""
    if refused:
        return "danger", "No: it can't be begun so."
    if pending:
        return "", "Working out what it would do."
    if not judged:
        return "unknown", "Not judged."
    if not dangers:
        return "done", "Every line holds."
    return "danger", f"{dangers[0].short}." if len(dangers) == 1 else f"{len(dangers)} lines are passed."


def held_lines(score: Score, facts: Facts) -> list[str]:
    """The lines that hold."""
    return [f"{line_words(line, facts)}{own_words(line)}" for line in score.lines if line.holds]


def own_words(line: Line) -> str:
    """Why more than the usual is let pass: the tank does it by itself, and the course makes it no worse."""
    if line.most <= MOST:
        return ""
    return f" With nothing done {round(100 * line.alone)} of 100 would, and the course makes it no worse."


def full_words(amount: str) -> str:
    """What a part is a part of."""
    return f"A whole dose is {amount}. Write an amount, or a share like 50 %." if amount else ""
