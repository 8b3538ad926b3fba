"""Is it helping? Worked out beside the pages that show it."""

from __future__ import annotations

import asyncio
from datetime import datetime

import msgspec
from starlette.requests import Request

from tankward.desk.background import Background, Ready
from tankward.desk.helping import helping
from tankward.judge.progress import Progress, progress
from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.show.words.progress import (
    SeenRow,
    always,
    expected_says,
    progress_heading,
    progress_rows,
    resting_on,
    telling_says,
)
from tankward.show.words.when_to_stop import suffering_says
from tankward.treat.helping import Helping

from .frame import desk_of
from .what_if import A_MOMENT_S, LOOK_S

MARKS = {"helping": "", "too-early": "unknown", "not-helping": "caution"}
AT_WORK = "How it stands against what was expected is being worked out."
GOOD_FOR_S = 1800.0  # as long as a forecast: after that it is judged anew


class ProgressTold(msgspec.Struct, frozen=True, kw_only=True):
    """The section of a tank's page."""

    says: str
    mark: str
    aside: str
    expected: list[str]
    rows: list[SeenRow]
    always: list[str]
    lines: list[str]
    pending: bool


def judged(request: Request, room: Room, tank: str, now: datetime, facts: Facts) -> Ready[Helping | None]:
    """What is known of it now; worked out once for half an hour."""
    answers: Background[Helping | None] = request.app.state.helping
    question = (desk_of(request).digest, facts.digest, tank, int(now.timestamp() // GOOD_FOR_S))
    return answers.of(question, lambda: helping(room, tank, now, facts))


async def judged_soon(
    request: Request, room: Room, tank: str, now: datetime, facts: Facts
) -> Ready[Helping | None]:
    """The same, with the answer where it comes within a moment."""
    for _ in range(round(A_MOMENT_S / LOOK_S)):
        found = judged(request, room, tank, now, facts)
        if not found.pending:
            return found
        await asyncio.sleep(LOOK_S)
    return judged(request, room, tank, now, facts)


def progress_told(
    request: Request, room: Room, tank: str, now: datetime, zone: str, facts: Facts
) -> ProgressTold | None:
    """The section for a tank; None where no course runs."""
    heads = progress(room, tank, now, facts)
    if heads is None:
        return None
    ready = judged(request, room, tank, now, facts)
    if ready.answer is None:
        return _counted(heads, ready, now, zone, facts)
    found = ready.answer.found
    return ProgressTold(
        says=progress_heading(found, now, zone),
        mark=mark_of(found),
        aside=f"day {found.day}",
        expected=expected_lines(ready.answer, now, zone, facts),
        rows=progress_rows(found, facts, now, zone),
        always=always(found),
        lines=resting_on(found, ready.answer.fits, facts, ready.answer.why_not),
        pending=False,
    )


def _counted(
    heads: Progress, ready: Ready[Helping | None], now: datetime, zone: str, facts: Facts
) -> ProgressTold:
    """Until it is judged, what was counted; where that went wrong, what heads alone say."""
    return ProgressTold(
        says=AT_WORK if ready.pending else progress_heading(heads, now, zone),
        mark="caution" if heads.worse else "unknown" if ready.pending else mark_of(heads),
        aside=f"day {heads.day}",
        expected=[],
        rows=progress_rows(heads, facts, now, zone),
        always=always(heads),
        lines=resting_on(heads, None, facts),
        pending=ready.pending,
    )


def mark_of(found: Progress) -> str:
    """Of the verdict."""
    return "caution" if found.worse else MARKS[found.verdict]


def expected_lines(answer: Helping, now: datetime, zone: str, facts: Facts) -> list[str]:
    """What was expected by now, and when looks will tell; what cannot wait first."""
    told = [*suffering_says(answer.ending, now, zone, facts), expected_says(answer.found, facts, now, zone)]
    return [line for line in (*told, *telling_says(answer.found, now, zone)) if line]
