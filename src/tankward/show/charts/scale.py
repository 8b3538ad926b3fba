"""From values and hours to paper: which levels a strip reaches, where its ticks are, where days begin."""

from __future__ import annotations

import math
from datetime import UTC, datetime, time, timedelta

import msgspec
import numpy as np

from .records import Chart, Limit, Strip

FAR = 1.8  # a limit almost twice as high as all that is drawn stands above a break mark


class Scale(msgspec.Struct, frozen=True, kw_only=True):
    """The levels of one strip, and the limits that lie off it."""

    low: float
    high: float
    ticks: tuple[float, ...]
    near: tuple[Limit, ...]
    above: tuple[Limit, ...]  # far over, highest first
    below: tuple[Limit, ...]
    unknown: tuple[Limit, ...]


class Day(msgspec.Struct, frozen=True, kw_only=True):
    """One day of the calendar as the chart shows it."""

    index: int
    date: datetime
    from_h: float
    to_h: float
    today: bool


def scale_of(strip: Strip) -> Scale:
    """Levels from all that is drawn; limits join when they are near, and never stretch the strip."""
    values = _drawn_values(strip)
    low = min(values) if strip.floor is None else strip.floor
    high = max(values)
    span = max(high - low, 1e-9 + 0.04 * abs(high))
    known = [limit for limit in strip.limits if limit.level is not None]
    near = tuple(limit for limit in known if _near(limit, low, high, span))
    levels = [limit.level for limit in near if limit.level is not None]
    low, high = min([low, *levels]), max([high, *levels])
    far = [limit for limit in known if limit not in near]
    low, high = _with_room(low, high, strip)
    ticks = nice_ticks(low, high, 4 if strip.lead else 2)
    return Scale(
        low=low,
        high=high,
        ticks=ticks if strip.lead else _beside(ticks, levels, high - low),
        near=near,
        above=tuple(sorted((f for f in far if _level(f) > high), key=_level, reverse=True)),
        below=tuple(sorted((f for f in far if _level(f) <= high), key=_level, reverse=True)),
        unknown=tuple(limit for limit in strip.limits if limit.level is None),
    )


def _level(limit: Limit) -> float:
    return limit.level if limit.level is not None else math.nan


def _drawn_values(strip: Strip) -> list[float]:
    curves = [c for c in (strip.mid, strip.low, strip.high) if c is not None]
    values = [v for c in curves for v in (_least(c), _most(c)) if v is not None]
    for reading in strip.readings:
        values += [v for v in (reading.value, reading.low, reading.high) if v is not None]
    if strip.works:
        values += [strip.works.low, strip.works.high]
    values += [v for v in (strip.least, strip.most) if v is not None]
    return values or [0.0, 1.0]


def drawn_span(strip: Strip) -> tuple[float, float]:
    """The lowest and the highest of all that is drawn of it."""
    values = _drawn_values(strip)
    return min(values), max(values)


def _least(curve: np.ndarray) -> float | None:
    return float(np.nanmin(curve)) if np.isfinite(curve).any() else None


def _most(curve: np.ndarray) -> float | None:
    return float(np.nanmax(curve)) if np.isfinite(curve).any() else None


def _near(limit: Limit, low: float, high: float, span: float) -> bool:
    level = _level(limit)
    return low - span <= level <= (low + FAR * span if low == 0 else high + span)


def _with_room(low: float, high: float, strip: Strip) -> tuple[float, float]:
    """A little air above, and below where the scale does not stand on its floor."""
    span = (high - low) or max(abs(high), 1.0) * 0.1
    return (low if strip.floor is not None else low - 0.12 * span), high + 0.06 * span


def nice_ticks(low: float, high: float, about: int) -> tuple[float, ...]:
    """Round levels between low and high, at most one more than asked for."""
    raw = (high - low) / about
    power = 10.0 ** math.floor(math.log10(raw)) if raw > 0 else 1.0
    step = next(m * power for m in (1, 2, 2.5, 5, 10) if m * power >= raw * 0.999)
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return tuple(round(k * step, 10) for k in range(first, last + 1))


def _beside(ticks: tuple[float, ...], levels: list[float], span: float) -> tuple[float, ...]:
    """Limits are ticks too, and push away the round ones beside them."""
    free = [t for t in ticks if all(abs(t - level) > 0.3 * span for level in levels)]
    return tuple(sorted([*free, *levels]))


def days_of(chart: Chart) -> tuple[Day, ...]:
    """The calendar days that the chart touches, right over a change of the clock."""
    zone = chart.start.tzinfo
    end_h = float(chart.hours[-1])
    first = chart.start.date()
    now_date = (_at(chart, chart.now_h)).date()
    days = []
    for index in range(int(end_h / 24) + 3):
        date = first + timedelta(days=index)
        midnight = datetime.combine(date, time(), zone)
        begins = _hours_after(chart, midnight)
        ends = _hours_after(chart, datetime.combine(date + timedelta(days=1), time(), zone))
        if begins >= end_h:
            break
        days.append(Day(index=index, date=midnight, from_h=begins, to_h=ends, today=date == now_date))
    return tuple(days)


def _at(chart: Chart, hour: float) -> datetime:
    return (chart.start.astimezone(UTC) + timedelta(hours=hour)).astimezone(chart.start.tzinfo)


def _hours_after(chart: Chart, instant: datetime) -> float:
    return (instant.astimezone(UTC) - chart.start.astimezone(UTC)) / timedelta(hours=1)


def said_hour(chart: Chart, hour: float) -> str:
    """An instant of the chart as people say it: "Tue 12, 18:10"."""
    at = _at(chart, hour)
    return f"{at:%a} {at.day}, {at:%H:%M}"
