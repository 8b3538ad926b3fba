"""Is it helping? What the page of a tank says of the course that runs there."""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.desk.examine import Examination
from tankward.judge.progress import fit_of, progress
from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.show.words.progress import SeenRow, always, progress_heading, progress_rows, resting_on

MARKS = {"helping": "", "too-early": "unknown", "not-helping": "caution"}


class ProgressTold(msgspec.Struct, frozen=True, kw_only=True):
    """The section."""

    says: str
    mark: str
    aside: str
    rows: list[SeenRow]
    always: list[str]
    lines: list[str]


def progress_told(
    room: Room, tank: str, seen: Examination, now: datetime, zone: str, facts: Facts
) -> ProgressTold | None:
    """The section for a tank; None where no course runs."""
    found = progress(room, tank, now, facts)
    if found is None:
        return None
    fits = fit_of(seen.ranking, seen.evidence.seen, found.course)
    return ProgressTold(
        says=progress_heading(found, now, zone),
        mark="caution" if found.worse else MARKS[found.verdict],
        aside=f"day {found.day}",
        rows=progress_rows(found, facts, now, zone),
        always=always(found),
        lines=resting_on(found, fits, facts),
    )
