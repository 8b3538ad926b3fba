"""The chart in words: one table with the same content, one sentence that explains the strokes."""

from __future__ import annotations

import msgspec
import numpy as np

from tankward.quantities.digits import plain_number, step_of

from .records import Chart, Curve, Strip
from .scale import days_of, said_hour

DOTS = {
    "read": "Dot: a reading with its error.",
    "counted": "Dot: what a look counted, as so many on one fish.",
    "looked": "Dot: what a look counted.",
}


class ChartTable(msgspec.Struct, frozen=True, kw_only=True):
    """Words in rows, the first of each row its name."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def chart_table(chart: Chart, every_h: float = 12.0) -> ChartTable:
    """The chart's values every half day, at every act and now, with readings and counts."""
    head = ("When", *(f"{strip.name}, {strip.unit}" if strip.unit else strip.name for strip in chart.strips))
    head += ("What happens", *(row.name for row in chart.counts))
    return ChartTable(head=head, rows=tuple(_row(chart, hour) for hour in _hours(chart, every_h)))


def _hours(chart: Chart, every_h: float) -> list[float]:
    last = float(chart.hours[-1])
    asked = {float(h) for h in np.arange(0.0, last + 1e-9, every_h)} | {chart.now_h}
    asked |= {act.hour for act in chart.acts} | {r.hour for s in chart.strips for r in s.readings}
    asked |= {max(0.0, day.from_h) for day in days_of(chart) if _counted(chart, day.index)}
    return sorted(h for h in asked if 0 <= h <= last)


def _counted(chart: Chart, index: int) -> bool:
    return any(index in row.counts for row in chart.counts)


def _row(chart: Chart, hour: float) -> tuple[str, ...]:
    when = said_hour(chart, hour) + (" (now)" if hour == chart.now_h else "")
    values = tuple(_value(chart.hours, strip, hour) for strip in chart.strips)
    acts = "; ".join(f"{a.words}{'' if a.done else ', planned'}" for a in chart.acts if a.hour == hour)
    return (when, *values, acts, *_counts(chart, hour))


def _counts(chart: Chart, hour: float) -> tuple[str, ...]:
    day = next((d for d in days_of(chart) if max(0.0, d.from_h) == hour), None)
    return tuple(str(row.counts.get(day.index, "")) if day else "" for row in chart.counts)


def _value(hours: Curve, strip: Strip, hour: float) -> str:
    """Reading, or middle course with nine in ten; what is missing is a word, never a zero."""
    read = next((r for r in strip.readings if r.hour == hour), None)
    if read:
        return f"{_said(strip, read.value)}, {strip.dots}"
    mid = _at(hours, strip.mid, hour)
    if mid is None:
        return "not known"
    low, high = _at(hours, strip.low, hour), _at(hours, strip.high, hour)
    if low is None or high is None:
        return _said(strip, mid)
    return f"{_said(strip, mid)} ({_said(strip, low)} to {_said(strip, high)})"


def _said(strip: Strip, value: float) -> str:
    if strip.said is not None:
        return strip.said(value)
    unit = {"°C": "C"}.get(strip.unit, "pH" if strip.name == "pH" else "")
    return plain_number(value, step_of(value, unit))


def _at(hours: Curve, curve: Curve | None, hour: float) -> float | None:
    """After a jump at that very hour, not between."""
    if curve is None:
        return None
    n = max(int(np.searchsorted(hours, hour, side="right")) - 1, 0)
    at = float(np.interp(hour, hours[n : n + 2], curve[n : n + 2]))
    return at if np.isfinite(at) else None


def legend(chart: Chart) -> str:
    """The strokes that this chart uses, in one line."""
    says = ["Solid: what happened.", "Dotted: from before." if chart.old else "Dashed: planned."]
    if any(strip.q25 is not None for strip in chart.strips):
        says.append("Dark band: where half of such tanks lie; pale band: nine in ten.")
    elif any(strip.low is not None for strip in chart.strips):
        says.append("Band: where nine in ten of such tanks lie.")
    for dots, said in DOTS.items():
        if any(strip.readings and strip.dots == dots for strip in chart.strips):
            says.append(said)
    return " ".join(says)


def read_at(chart: Chart, hour: float) -> list[tuple[str, str]]:
    """Each strip's middle course and nine in ten at an hour, as they are said."""
    return [_mid_and_range(chart.hours, strip, hour) for strip in chart.strips]


def _mid_and_range(hours: Curve, strip: Strip, hour: float) -> tuple[str, str]:
    mid = _at(hours, strip.mid, hour)
    low, high = _at(hours, strip.low, hour), _at(hours, strip.high, hour)
    if mid is None:
        return "not known", ""
    ends = "" if low is None or high is None else f"{_said(strip, low)} to {_said(strip, high)}"
    return _said(strip, mid), ends
