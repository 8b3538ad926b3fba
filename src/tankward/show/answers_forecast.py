"""A forecast as the rows that leave, and as it is told: worst first."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from math import isnan, sqrt

from tankward.judge.choices import NH3_CARE, NITRITE_CARE, OXYGEN_CARE, PH_LOW, Choice
from tankward.judge.learned import Learned, Moved
from tankward.knowledge.known import Facts
from tankward.model.falling import When, row_now
from tankward.model.result import Forecast, GoneBy, Outlook, Series
from tankward.quantities.parse import Estimate
from tankward.treat.drugs_ahead import Drug, Line

from .answers_taught import taught_row
from .results_forecast import (
    ChanceRow,
    DrugRow,
    ExtremeRow,
    FigureRow,
    ForecastResult,
    LearnedRow,
    LineRow,
    MovedRow,
    SeriesRow,
    SuspectRow,
    WhenRow,
)
from .words.acts import listed, upper
from .words.chance import chance_words
from .words.drugs_ahead import drug_says
from .words.forecast import MIND, caution_says, extreme_says, series_name
from .words.learned import learned_says
from .words.outlook import RECALLED, gone_says, outlook_says
from .words.tank import WORRY

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
        says=gone_says(o, c, facts), organism=o.organism, days=c.days, holds=o.holds,
    )  # fmt: skip


def suspect_row(o: Outlook, found: Forecast, facts: Facts) -> SuspectRow:
    """What is followed, for what its chances are good, and what the looks changed."""
    taught = taught_row(o, found.now, facts)
    return SuspectRow(
        organism=o.organism, cause=o.cause, likely=o.likely, since_h=o.since_h, counted=o.counted,
        holds=o.holds, says=[*outlook_says(o, row_now(found), facts), *(taught.says if taught else ())],
        withheld=list(o.withheld), taught=taught,
    )  # fmt: skip


def when_row(when: When, now: datetime) -> WhenRow:
    """Hours from now, and the instants."""

    def at(hours: float | None) -> str | None:
        return None if hours is None else (now + timedelta(hours=hours)).isoformat(timespec="minutes")

    low, value, high = when.low, when.value, when.high
    return WhenRow(
        low_h=low, value_h=value, high_h=high, low_at=at(low), value_at=at(value), high_at=at(high)
    )


def line_row(line: Line | None, now: datetime) -> LineRow | None:
    """A level that matters."""
    if line is None:
        return None
    return LineRow(
        level=line.level, unit=line.unit, who=list(line.who), over_now=line.fall.over_now,
        over_at_end=line.fall.over_at_end, first=when_row(line.fall.first, now),
        last=when_row(line.fall.last, now), source=line.source, status=line.status,
    )  # fmt: skip


def drug_row(drug: Drug, now: datetime, facts: Facts) -> DrugRow:
    """A medicine in one place."""
    return DrugRow(
        substance=drug.substance, where=drug.where, unit=drug.unit, low=drug.now.low, value=drug.now.value,
        high=drug.now.high, works=line_row(drug.works, now), bothers=line_row(drug.bothers, now),
        never=list(drug.never), unknown=list(drug.unknown), says=drug_says(drug, facts),
    )  # fmt: skip


def learned_row(told: Learned, found: Forecast, facts: Facts) -> LearnedRow:
    """What today's readings changed."""
    return LearnedRow(
        read=list(told.read), moved=[moved_row(m) for m in told.moved],
        fits=found.fits, draws=found.effective_draws, says=learned_says(told, found, facts),
    )  # fmt: skip


def moved_row(moved: Moved) -> MovedRow:
    """One figure without and with them."""
    return MovedRow(
        name=moved.name, kind=moved.kind, unit=moved.unit,
        before=figure_row(moved.before), after=figure_row(moved.after), matters=moved.matters,
    )  # fmt: skip


def figure_row(figure: Estimate) -> FigureRow:
    """A figure with its range."""
    return FigureRow(low=figure.low, value=figure.value, high=figure.high)


def forecast_result(
    found: Forecast, drugs: Sequence[Drug], told: Learned, facts: Facts, now: str
) -> ForecastResult:
    """A forecast as the command answers it.

    Parameters
    ----------
    found : Forecast
        Of a tank.
    drugs : sequence of Drug
        The medicines in it.
    told : Learned
        What was read today.
    facts : Facts
        Names.
    now : str
        As the answer gives it back.
    """
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
    suspects = [suspect_row(o, found, facts) for o in found.outlooks]
    drugs_told = [drug_row(d, found.now, facts) for d in drugs]
    learned = learned_row(told, found, facts)
    return ForecastResult(
        says="\n".join(_says(chances, drugs_told, suspects, learned, facts)),
        tank=found.tank,
        start=found.start.isoformat(),
        times=list(found.times_h),
        series=rows,
        chances=[*chances, *(gone_row(o, c, facts) for o in found.outlooks for c in o.chances)],
        suspects=suspects,
        extremes=extremes,
        drugs=drugs_told,
        learned=learned,
        cautions=_cautions(found, facts, mind=True),
        missing=_cautions(found, facts, mind=False),
        now=now,
    )


def _cautions(found: Forecast, facts: Facts, *, mind: bool) -> list[str]:
    kept = [c for c in found.cautions if (c.kind in MIND) is mind]
    return list(dict.fromkeys(caution_says(c, facts) for c in kept))


def _says(
    chances: Sequence[ChanceRow],
    drugs: Sequence[DrugRow],
    suspects: Sequence[SuspectRow],
    learned: LearnedRow,
    facts: Facts,
) -> list[str]:
    """Worst first: limits that may be passed, what is in it, what is suspected; then what is calm."""
    worst = sorted(chances, key=lambda c: -c.value)
    worry = [c for c in worst if c.value >= WORRY]
    told = [f"{upper(passes_said(c, facts))} is {_likely(c)}." for c in worry]
    told += [line for drug in drugs for line in drug.says]
    told += _once([line for one in suspects for line in one.says])
    calm = [passes_said(c, facts).removeprefix("that ") for c in worst if c.value < WORRY]
    if calm:
        told.append(f"Extremely unlikely: {listed(calm, 'or')}.")
    return [*told, *learned.says]


def _once(lines: Sequence[str]) -> list[str]:
    """What is true of every organism is said of the first."""
    first = next((n for n, line in enumerate(lines) if line.strip() == RECALLED), len(lines))
    return [line for n, line in enumerate(lines) if n <= first or line.strip() != RECALLED]


def _likely(chance: ChanceRow) -> str:
    return chance_words(chance.low, chance.high, chance.value)


def passes_said(chance: ChanceRow, facts: Facts) -> str:
    """ "that nitrite passes 0.5 mg/L as N"."""
    name, side, _ = chance.what.split(" ")
    limit = f"{chance.limit:g}" if chance.unit == "pH" else f"{chance.limit:g} {chance.unit}"
    return f"that {series_name(name, facts)} {'passes' if side == 'above' else 'falls under'} {limit}"
