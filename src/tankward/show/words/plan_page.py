"""One course of a plan as its page tells it: the margin says how much, the column says of what."""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.treat.course.records import Course
from tankward.treat.planner.records import Plan, Planned, Score

from .acts import listed, upper
from .causes import short_name
from .chance import chance_words
from .days import clock, day_said
from .plan import (
    SEEN_RISK,
    best_words,
    cost_words,
    letter,
    line_words,
    planned_name,
    span_words,
    time_words,
)

NOBODY_KNOWS = "What it does to the germ was never measured, so how likely it clears it nobody can say."
WIDE = 0.2  # of a range of chances, from which it is told in tenths
STAGES = {
    "screened": ("ways looked at", "by the substance alone"),
    "simulated": ("followed through the tank", "water, fish and germ, hour by hour"),
    "refined": ("looked at more closely", "with all that is not known"),
}


class Measure(msgspec.Struct, frozen=True, kw_only=True):
    """How much, of what; a chance has its bar."""

    kind: str  # clear, less, unknown, harm, days, work, cost
    margin: str
    says: str
    soft: str = ""
    low: float | None = None
    high: float | None = None
    lines: tuple[str, ...] = ()  # in numbers, one touch behind


class StageTold(msgspec.Struct, frozen=True, kw_only=True):
    """How far one stage of the search is."""

    margin: str
    says: str
    soft: str
    done: int
    of: int


def stage_told(name: str, done: int, of: int) -> StageTold:
    """3,200 of 5,000 ways looked at."""
    says, soft = STAGES[name]
    return StageTold(margin=f"{done:,}", says=f"of {of:,} {says}", soft=soft, done=done, of=max(of, 1))


def looking_heading(plan_causes: tuple[str, ...], tank: str, facts: Facts) -> str:
    """While it is searched."""
    return f"Looking for the best courses against {_names(plan_causes, facts)} in {tank}."


def ask_heading(causes: tuple[str, ...], tank: str, facts: Facts) -> str:
    """Before it is asked."""
    return f"What should a course against {_names(causes, facts)} in {tank} keep to?"


def _names(causes: tuple[str, ...], facts: Facts) -> str:
    return listed([short_name(cause, facts) for cause in causes], "and")


def first_words(planned: Planned, now: datetime, zone: str, facts: Facts) -> str:
    """The first sound course, told at once."""
    course = planned.course
    begins = f"{day_said(course.start, now, zone)} {clock(course.start, zone)}"
    name = planned_name(planned, facts)
    goal = _goal_short(planned.score)
    told = f"One is found already: {_lower_first(name)}, from {begins}{goal}."
    return f"{told} Better ones are being looked for."


def _lower_first(text: str) -> str:
    return text if text[1:2].isupper() else text[:1].lower() + text[1:]


def _goal_short(score: Score) -> str:
    if score.clear is None:
        return ""
    part = score.clear.value
    if score.goal == "brought-low":
        return f", {100 * part:.0f} % less of it"
    return f", all gone in {_told_of(score.clear)} such tanks"


def _of_100(chance: float) -> str:
    """Never 0 and never 100: nothing is that sure."""
    number = round(100 * chance)
    return "under 1 of 100" if number < 1 else "over 99 of 100" if number > 99 else f"{number} of 100"


def _told_of(c: Estimate) -> str:
    """In tenths where the range is so wide that hundredths would say more than is known."""
    if c.high - c.low <= WIDE:
        return _of_100(c.value)
    tenths = round(10 * c.value)
    return "under 1 of 10" if tenths < 1 else "over 9 of 10" if tenths > 9 else f"{tenths} of 10"


def measures_of(planned: Planned, plan: Plan, zone: str, facts: Facts) -> list[Measure]:
    """Clears it, harm, days, work, cost."""
    lines = tuple(line_words(line, facts) for line in planned.score.lines)
    return score_measures(
        planned.score, planned.course, plan.causes, plan.by, plan.now, zone, facts, lines=lines
    )


def score_measures(
    score: Score, course: Course, causes: tuple[str, ...], by: datetime, now: datetime, zone: str,
    facts: Facts, *, lines: tuple[str, ...] = (),
) -> list[Measure]:  # fmt: skip
    """The same of any course. `by`: the day that counts; `lines`: what stands behind the harm."""
    days, times = max(1, round(score.days)), len({s.at for s in course.steps})
    low, high = score.minutes
    rows = [
        _clear(score, causes, f"{day_said(by, now, zone)}", facts),
        Measure(
            kind="harm", margin=_of_100(score.harm), says="such tanks go past a safe limit",
            soft=f"With nothing done {_of_100(score.harm_alone)}." if score.harm_alone >= SEEN_RISK else "",
            lines=lines,
        ),
        Measure(
            kind="days", margin=f"{days} {'day' if days == 1 else 'days'}",
            says=f"from now until it is over, {day_said(course.ends, now, zone)}",
            soft=f"Begins {day_said(course.start, now, zone)} {clock(course.start, zone)}.",
        ),
        Measure(
            kind="work", margin=_short(time_words((low + high) / 2)),
            says=f"of work in all, at {times} times",
            soft=f"{upper(span_words(score))}.",
        ),
    ]  # fmt: skip
    cost = cost_words(score).removeprefix("packets for ").strip()
    paid = Measure(kind="cost", margin=cost, says="for the packets, in what they were paid in")
    return [*rows, paid] if cost else rows


def _short(time: str) -> str:
    return time.replace("minutes", "min").replace("hours", "h")


def _clear(score: Score, causes: tuple[str, ...], day: str, facts: Facts) -> Measure:
    if score.clear is None:
        return Measure(kind="unknown", margin="?", says=NOBODY_KNOWS)
    c, name = score.clear, _names(causes, facts)
    if score.goal == "brought-low":
        return Measure(
            kind="less", margin=f"{100 * c.value:.0f} %",
            says=f"less of it sits on the fish until {day} than if left alone "
            f"({100 * c.low:.0f} to {100 * c.high:.0f} %)",
            soft=f"{upper(name)}: never quite gone.", low=c.low, high=c.high,
        )  # fmt: skip
    return Measure(
        kind="clear", margin=_told_of(c), says=f"such tanks: {name} all gone by {day}",
        soft=f"{upper(chance_words(c.low, c.high, c.value))}.", low=c.low, high=c.high,
    )  # fmt: skip


SHORT = {
    "clear": "{} clear it", "less": "{} less of it", "harm": "{} at risk", "work": "{} of work",
    "cost": "packets for {}", "days": "{}",
}  # fmt: skip


def summary_words(planned: Planned, plan: Plan, zone: str, facts: Facts) -> str:
    """One line of the comparison."""
    told = measures_of(planned, plan, zone, facts)
    return f"{', '.join(SHORT[m.kind].format(m.margin) for m in told if m.kind in SHORT)}."


def best_heading(planned: Planned) -> str:
    """What it is best at, large."""
    return f"{upper(best_words(planned.best))}." if planned.best else ""


def then_words(planned: Planned, now: datetime, zone: str, facts: Facts) -> list[str]:
    """What follows it."""
    return [
        f"Then {_lower_first(planned_name(p, facts))}, from {day_said(p.course.start, now, zone)}."
        for p in planned.then
    ]


def found_why(plan: Plan, facts: Facts) -> str:
    """What the surest of them gains against doing nothing: the first thing to know of a plan."""
    surest = next((p for p in plan.courses if "surest" in p.best), None)
    if surest is None or surest.score.clear is None or surest.score.goal == "brought-low":
        return ""
    told = f"{letter(surest, plan)} clears it in {_told_of(surest.score.clear)} such tanks"
    alone = plan.left_alone
    if alone is not None and alone.clear is not None and alone.goal == surest.score.goal:
        told += f"; left alone it is gone in {_told_of(alone.clear)}"
    return f"{told}."


def unread_words(plan: Plan) -> str:
    """That remedies are left out for want of a reading, which a few minutes would change."""
    if not any(reason.kind == "water-unknown" for r in plan.ruled_out for reason in r.reasons):
        return ""
    return "Some remedies are left out because the water was not read. Read it, then ask again."


def chart_says(planned: Planned, plan: Plan, letter: str, zone: str, facts: Facts) -> str:
    """The name of its chart for ears."""
    return (
        f"{letter}, {_lower_first(planned_name(planned, facts))}: {summary_words(planned, plan, zone, facts)}"
    )


def packet_mark(planned: Planned | None) -> str:
    """Danger where its label would harm, else nothing."""
    return "danger" if planned is None or not planned.score.sound else ""


TUB_DRAWN = "The fish are in a tub meanwhile; drawn is the water of the tank that they come back to."
DRAWING = "Being drawn: the level hour by hour. Every word about it is here already."
