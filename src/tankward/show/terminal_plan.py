"""A plan as lines on a terminal."""

from __future__ import annotations

import shlex
from collections.abc import Iterator
from itertools import groupby

from .results_course import CourseStepRow
from .results_plan import PlannedRow, PlanResult
from .words.acts import ended, upper

SMALL = ("watch", "decide", "look", "read-water", "dead-out")  # of the steps not told here
MOST_STEPS = 8
OPTIONS = {"gone": "not-there"}  # as the command calls it


def plan_lines(result: PlanResult) -> Iterator[str]:
    """Each course with what it is best at, what it gives up and its dates; else why there is none."""
    yield result.says
    for row in result.courses:
        yield from _course(row, result.tank)
    for number, reason in enumerate(result.nothing, 1):
        yield f"  {number}. {ended(upper(reason.because))}"
        if reason.would_change:
            yield f"     Would change: {ended(reason.would_change)}"
    if result.alone:
        yield result.alone
    yield from (row.says for row in result.packets)
    yield result.looked


def _steps(dated: list[CourseStepRow], ends: str) -> Iterator[str]:
    """The first of them, whole hours only: an hour cut in two would leave out what belongs to it."""
    told = 0
    for when, group in groupby(dated, key=lambda s: s.at[:16].replace("T", " ")):
        steps = list(group)
        if told and told + len(steps) > MOST_STEPS:
            break
        for n, step in enumerate(steps):
            yield f"   {'' if n else when:<16}  {step.act}"
        told += len(steps)
    if told < len(dated):
        yield f"   and {len(dated) - told} steps more, until {ends[:10]}"


def _course(row: PlannedRow, tank: str) -> Iterator[str]:
    yield f"{row.letter}  {row.says}"
    yield f"   {row.risk} {row.work}"
    yield from _steps([s for s in row.steps if s.kind not in SMALL], row.ends)
    yield from (f"   {line}" for line in row.then)
    yield from (f"   It gives up: {line}" for line in row.gives_up)
    yield from (f"   {loss.says}" for loss in row.losses)
    told = {OPTIONS.get(k, k.replace("_", "-")): v for k, v in row.course.items()}
    given = " ".join(f"--{k} {shlex.quote(v)}" for k, v in told.items())
    yield f"   Use it: tankward course {tank} {given} --begin"
