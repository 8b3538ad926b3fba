"""How a course is doing, from the verdict to the record that leaves."""

from __future__ import annotations

from datetime import datetime

from tankward.judge.causes import Ranked
from tankward.judge.progress import Compared, Progress
from tankward.knowledge.known import Facts

from .results_progress import CountRow, FitRow, ProgressResult, SignRow
from .words.progress import SeenRow, always, progress_heading, progress_rows, resting_on


def progress_result(
    found: Progress, fits: Ranked | None, facts: Facts, now: datetime, zone: str, told: str
) -> ProgressResult:
    """The answer of the command; the first line is the verdict."""
    rows = progress_rows(found, facts, now, zone)
    lines = [*always(found), *resting_on(found, fits, facts)]
    said = [f"{r.seen}. {r.expected}".strip() for r in rows]
    return ProgressResult(
        says="\n".join([progress_heading(found, now, zone), *said, *lines]),
        tank=found.course.tank,
        course=found.course.name,
        verdict=found.verdict,
        why=found.why,
        decidable_on=found.decidable_on.isoformat(),
        expected=[r.expected for r in rows if r.expected],
        seen=[_sign(c, r) for c, r in zip(found.rows, rows, strict=False)],
        counted=CountRow(day=found.day, dead_before=found.dead_before, dead_since=found.dead_since),
        worse=found.worse,
        fits=_fit(fits),
        source=found.pace_source,
        status=found.pace_status,
        now=told,
    )


def _sign(row: Compared, said: SeenRow) -> SignRow:
    low, high = row.expected or (None, None)
    return SignRow(
        sign=row.sign, before=row.before.ill, before_of=row.before.of,
        since=row.since.ill if row.since else None, since_of=row.since.of if row.since else None,
        expected_low=low, expected_high=high, chance_fewer=row.fewer, says=said.seen,
    )  # fmt: skip


def _fit(fits: Ranked | None) -> FitRow | None:
    if fits is None:
        return None
    return FitRow(cause=fits.id, low=fits.low, value=fits.value, high=fits.high, word=fits.word)
