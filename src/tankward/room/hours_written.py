"""The keeper's hours written out, so that they read back as the same."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from .home_spans import DAY_MIN, Hours, Span, Week
from .hours_tokens import ALL_DAYS, SHORT


def written(hours: Hours) -> str:
    """The hours as text that reads back as the same, with dates that need no day to be read on."""
    parts = [_week_said(hours, n) for n in range(len(hours.weeks))]
    parts += [f"not {named(hours.off)}"] if hours.off else []
    parts += [f"away {_between(first, last)}" for first, last in hours.absent]
    parts += [f"quiet {said}" for said in _groups_said(hours.quiet)]
    return "; ".join(p for p in parts if p) or "0:00-24:00"


def _week_said(hours: Hours, number: int) -> str:
    week = hours.weeks[number]
    there = {d: week[d] for d in ALL_DAYS if d not in hours.off}
    if len(hours.weeks) == 1 and all(spans == ((0, DAY_MIN),) for spans in there.values()):
        return ""
    if hours.turn is None:
        prefix = ("odd weeks ", "even weeks ")[number]
    else:
        prefix = (f"week A from {hours.turn.isoformat()} ", "week B ")[number]
    said = ", ".join(_groups_said(tuple(there.get(d, ()) for d in ALL_DAYS)))
    return f"{prefix if len(hours.weeks) > 1 else ''}{said}" if said else ""


def _groups_said(week: Week) -> list[str]:
    """ "Mon-Fri 18:00-22:00", a group for each set of spans."""
    groups: dict[tuple[Span, ...], list[int]] = {}
    for day, spans in enumerate(week):
        if spans:
            groups.setdefault(spans, []).append(day)
    return [
        f"{'' if len(days) == 7 else named(days) + ' '}{', '.join(map(_span_said, spans))}"
        for spans, days in groups.items()
    ]


def _span_said(span: Span) -> str:
    return "-".join(clock_said(m) for m in span)


def clock_said(minute: int) -> str:
    """A minute of the day as it is written: 18:00; midnight at the end is 24:00."""
    minute = minute if minute <= DAY_MIN else minute - DAY_MIN
    return f"{minute // 60}:{minute % 60:02d}"


def named(days: Sequence[int]) -> str:
    """ "Mon-Fri, Sun"."""
    runs: list[list[int]] = []
    for day in sorted(days):
        if runs and runs[-1][-1] == day - 1:
            runs[-1].append(day)
        else:
            runs.append([day])
    return ", ".join(
        f"{SHORT[r[0]]}-{SHORT[r[-1]]}" if len(r) > 2 else ", ".join(SHORT[d] for d in r) for r in runs
    )


def _between(first: date, last: date) -> str:
    return first.isoformat() if first == last else f"{first.isoformat()} to {last.isoformat()}"
