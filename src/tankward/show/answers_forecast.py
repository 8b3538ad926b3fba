"""A forecast as the rows that leave."""

from __future__ import annotations

from datetime import timedelta
from math import isnan, sqrt

from tankward.judge.choices import NH3_CARE, NITRITE_CARE, OXYGEN_CARE, PH_LOW, Choice
from tankward.knowledge.known import Facts
from tankward.model.result import Forecast, GoneBy, Outlook, Series
from tankward.quantities.digits import shown_range

from .results_forecast import ChanceRow, ExtremeRow, ForecastResult, SeriesRow, SuspectRow
from .words.chance import chance_words
from .words.forecast import caution_says, extreme_says, series_name
from .words.outlook import gone_says, outlook_says

LIMITS: tuple[tuple[str, str, Choice], ...] = (
    ("nh3_n", "above", NH3_CARE),
    ("nitrite_n", "above", NITRITE_CARE),
    ("oxygen", "below", OXYGEN_CARE),
    ("ph", "below", PH_LOW),
)
Z = 1.645  # 5th and 95th centile of a normal distribution


def chance_row(found: Forecast, name: str, side: str, limit: Choice) -> ChanceRow:
    """The chance that a limit is passed at any time to come."""
    chance = (
        found.chance(name, above=limit.value) if side == "above" else found.chance(name, below=limit.value)
    )
    n = max(found.effective_draws, 1.0)
    spread = Z * sqrt(max(chance * (1 - chance), 0.25 / n) / n)
    end = found.now + timedelta(hours=found.times_h[-1] - found.now_h)
    return ChanceRow(
        what=f"{name} {side} {limit.value:g}",
        by=end.isoformat(),
        low=max(chance - spread, 0.0),
        value=chance,
        high=min(chance + spread, 1.0),
        limit=limit.value,
        unit=limit.unit,
        source=limit.source,
        status=limit.status,
    )


def series_row(s: Series) -> SeriesRow:
    """One line; what is not known yet is null."""

    def known(line: tuple[float, ...]) -> list[float | None]:
        return [None if isnan(v) else v for v in line]

    return SeriesRow(
        name=s.name, where=s.where, unit=s.unit, low=known(s.low), value=known(s.value), high=known(s.high),
        source="none", status="computed",
    )  # fmt: skip


def gone_row(o: Outlook, c: GoneBy, facts: Facts) -> ChanceRow:
    """The chance that an organism is gone by a day."""
    return ChanceRow(
        what=f"{'none-ill' if o.holds == 'never-gone' else 'gone'} {o.organism}", by=c.by.isoformat(),
        low=c.low, value=c.value, high=c.high, limit=None, unit="1", source="none", status="computed",
        says=gone_says(o, c, facts),
    )  # fmt: skip


def suspect_row(o: Outlook, facts: Facts) -> SuspectRow:
    """What is followed, and for what its chances are good."""
    return SuspectRow(
        organism=o.organism, cause=o.cause, likely=o.likely, since_h=o.since_h, counted=o.counted,
        holds=o.holds, says=outlook_says(o, facts), withheld=list(o.withheld),
    )  # fmt: skip


def forecast_result(found: Forecast, facts: Facts, now: str) -> ForecastResult:
    """A forecast as the command answers it."""
    rows = [series_row(s) for s in (*found.series, *(s for o in found.outlooks for s in o.series))]
    names = {s.name for s in found.series}
    chances = [chance_row(found, name, side, limit) for name, side, limit in LIMITS if name in names]
    extremes = [
        ExtremeRow(
            name=e.name, kind=e.kind, says=extreme_says(e.name, e.kind, facts), low=e.low, value=e.value,
            high=e.high, at_h=e.at_h, unit=e.unit, source="none", status="computed",
        )
        for e in found.extremes
    ]  # fmt: skip
    return ForecastResult(
        says=forecast_says(found, chances, facts),
        tank=found.tank,
        start=found.start.isoformat(),
        times=list(found.times_h),
        series=rows,
        chances=[*chances, *(gone_row(o, c, facts) for o in found.outlooks for c in o.chances)],
        suspects=[suspect_row(o, facts) for o in found.outlooks],
        extremes=extremes,
        cautions=list(dict.fromkeys(caution_says(c, facts) for c in found.cautions)),
        now=now,
    )


def forecast_says(found: Forecast, chances: list[ChanceRow], facts: Facts) -> str:
    """What matters of it, in a few sentences."""
    told = []
    for s in found.series:
        if s.kind == "substance":
            here = found.at(s.name, 0.0)
            told.append(f"{series_name(s.name, facts)} now: {shown_range(here.low, here.high, s.unit)}.")
    for row in chances:
        name, side, _ = row.what.split(" ")
        verb = "passes" if side == "above" else "falls under"
        words = chance_words(row.low, row.high, row.value)
        limit = f"{row.limit:g}" if row.unit == "pH" else f"{row.limit:g} {row.unit}"
        told.append(f"That {series_name(name, facts)} {verb} {limit} is {words}.")
    told += [line for o in found.outlooks for line in outlook_says(o, facts)]
    return "\n".join(told)
