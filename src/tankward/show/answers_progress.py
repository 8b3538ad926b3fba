"""How a course is doing, from what was judged to the record that leaves."""

from __future__ import annotations

from datetime import datetime

from tankward.judge.causes import Ranked
from tankward.judge.progress import Compared, Progress
from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.treat.helping import Helping
from tankward.treat.when_to_stop import Ending

from .results_progress import (
    BackRow,
    ChancesRow,
    CountRow,
    EndingRow,
    ExpectedRow,
    FailingRow,
    FitRow,
    ProgressResult,
    SignRow,
    TellingRow,
)
from .words.acts import lowered
from .words.failing import fail_rows
from .words.progress import (
    SeenRow,
    always,
    chance_rows,
    expected_says,
    progress_heading,
    progress_rows,
    resting_on,
    telling_says,
)
from .words.when_to_stop import back_rows, stop_says, suffering_says, survivor_says


def progress_result(judged: Helping, room: Room, facts: Facts, zone: str, told: str) -> ProgressResult:
    """The answer of the command; the first line is the verdict."""
    found, now = judged.found, judged.now
    rows = progress_rows(found, facts, now, zone)
    return ProgressResult(
        says="\n".join(_says(judged, rows, room, facts, zone)),
        tank=found.course.tank,
        course=found.course.name,
        verdict=found.verdict,
        why=found.why,
        decidable_on=found.decidable_on.isoformat(),
        by="life" if found.by_life else "heads",
        chances=_chances(found, facts),
        expected_now=_expected(found, facts, now, zone),
        telling=_telling(found),
        failing=_failing(judged, room, facts),
        ending=_ending(judged.ending, now, zone, facts),
        expected=_expected_lines(found, rows, facts, now, zone),
        seen=[_sign(c, r) for c, r in zip(found.rows, rows, strict=False)],
        counted=CountRow(day=found.day, dead_before=found.dead_before, dead_since=found.dead_since),
        worse=found.worse,
        fits=_fit(judged.fits),
        source=found.pace_source,
        status=found.pace_status,
        now=told,
    )


def _says(judged: Helping, rows: list[SeenRow], room: Room, facts: Facts, zone: str) -> list[str]:
    found, now = judged.found, judged.now
    lines = [progress_heading(found, now, zone), *suffering_says(judged.ending, now, zone, facts)]
    lines += [line for line in (expected_says(found, facts, now, zone),) if line]
    if found.helped is not None:
        lines += [f"  {r.head}: {r.said}" for r in chance_rows(found.helped, found.course.cause, facts)]
    lines += telling_says(found, now, zone)
    lines += [f"{r.seen}. {r.expected}".strip() for r in rows]
    lines += always(found)
    failed = fail_rows(judged.failing, room, facts, judged.next_look)
    if failed:
        lines.append("Why, likeliest first:")
    for f in failed:
        lines.append(f"  {f.rank}. {f.head}" if f.rank.isdigit() else f"  Beside it: {f.head}")
        lines += [f"     {line}" for line in (f.speaks_for, f.against, f.look, f.then) if line]
    lines += stop_says(judged.ending, now, zone)
    lines += [f"{r.margin}: {lowered(r.head)}. {r.soft}" for r in back_rows(judged.ending, now, zone, facts)]
    lines += survivor_says(judged.ending, now, zone, facts)
    return [*lines, *resting_on(found, judged.fits, facts, judged.why_not)]


def _expected_lines(
    found: Progress, rows: list[SeenRow], facts: Facts, now: datetime, zone: str
) -> list[str]:
    told = expected_says(found, facts, now, zone)
    return [told] if told else [r.expected for r in rows if r.expected]


def _chances(found: Progress, facts: Facts) -> ChancesRow | None:
    if found.helped is None:
        return None
    c = found.helped.chances
    rows = chance_rows(found.helped, found.course.cause, facts)
    return ChancesRow(
        helping=c.helping, too_little=c.too_little, other=c.other, right=found.helped.right,
        power=found.helped.power, says="; ".join(f"{r.head}: {r.said}" for r in rows),
    )  # fmt: skip


def _expected(found: Progress, facts: Facts, now: datetime, zone: str) -> ExpectedRow | None:
    if found.helped is None:
        return None
    e = found.helped.expected
    return ExpectedRow(
        at=e.at.isoformat(), sign=e.sign, of=e.of, parasites=e.single,
        if_helping_low=e.if_helping.low, if_helping_high=e.if_helping.high,
        if_too_little_low=e.if_too_little.low, if_too_little_high=e.if_too_little.high,
        if_other_low=e.if_other.low, if_other_high=e.if_other.high,
        seen_low=e.seen[0] if e.seen else None, seen_high=e.seen[1] if e.seen else None,
        says=expected_says(found, facts, now, zone),
    )  # fmt: skip


def _telling(found: Progress) -> list[TellingRow]:
    told = (found.helped.telling, found.helped.more) if found.helped else ()
    return [
        TellingRow(
            first_on=t.first.isoformat(), on=t.on.isoformat(), of=t.of, looks=t.looks,
            if_helping=t.if_helping, if_not=t.if_not,
        )
        for t in told
        if t is not None
    ]  # fmt: skip


def _failing(judged: Helping, room: Room, facts: Facts) -> list[FailingRow]:
    rows = fail_rows(judged.failing, room, facts, judged.next_look)
    return [
        FailingRow(
            kind=f.kind, share=f.share, beside=f.beside, causes=[r.id for r in f.causes], says=r.head,
            speaks_for=r.speaks_for, speaks_against=r.against, next_look=r.look, then=r.then,
            source=f.source, status=f.status,
        )
        for f, r in zip(judged.failing, rows, strict=True)
    ]  # fmt: skip


def _ending(found: Ending, now: datetime, zone: str, facts: Facts) -> EndingRow:
    r, backs = found.rounds, back_rows(found, now, zone, facts)
    return EndingRow(
        ends=found.ends.isoformat(),
        over=found.over,
        doses_given=r.given if r else None,
        doses_at_most=r.most if r else None,
        doses_to_come=r.planned if r else None,
        courses_within_six_months=r.courses if r else None,
        says=[*stop_says(found, now, zone), *suffering_says(found, now, zone, facts),
              *survivor_says(found, now, zone, facts)],
        back=[
            BackRow(
                what=b.what, stock=b.stock, on=b.on.isoformat() if b.on else "", bears=b.limit, unit=b.unit,
                says=f"{row.head}: {row.soft}", source=b.source, status=b.status,
            )
            for b, row in zip(found.back, backs, strict=True)
        ],
        not_sold_before={s.cause: s.until.isoformat() if s.until else "" for s in found.survivors},
        suffering=[s.sign for s in found.suffering],
    )  # fmt: skip


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
