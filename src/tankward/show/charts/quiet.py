"""Which strips open by themselves, and the one line for the others."""

from __future__ import annotations

import msgspec
import numpy as np

from .records import Chart, Curve, Limit, Strip

AHEAD_H = 168.0  # a strip opens when it matters in the next seven days
BEFORE_H = 24.0


def opened(chart: Chart) -> tuple[Chart, str]:
    """The chart with the strips that matter, and a sentence on those that do not."""
    open_: list[Strip] = []
    quiet: list[Strip] = []
    for strip in chart.strips:
        (open_ if matters(chart, strip) else quiet).append(strip)
    kept = tuple(open_) or chart.strips
    return msgspec.structs.replace(chart, strips=kept), "" if not open_ else quiet_line(quiet)


def matters(chart: Chart, strip: Strip, *, ahead_h: float = AHEAD_H) -> bool:
    """In question, or its band or a reading touches a limit from yesterday until so many hours ahead."""
    near = (chart.hours >= chart.now_h - BEFORE_H) & (chart.hours <= chart.now_h + ahead_h)
    return strip.lead or any(_touches(strip, limit, near, chart) for limit in strip.limits)


def _touches(strip: Strip, limit: Limit, near: np.ndarray, chart: Chart) -> bool:
    if limit.level is None:
        return False
    read = [r.value for r in strip.readings if r.hour >= chart.now_h - BEFORE_H]
    curve = (strip.high if limit.over else strip.low) if strip.high is not None else strip.mid
    values = [*read, *_known(strip.mid if curve is None else curve, near)]
    return any(v >= limit.level if limit.over else v <= limit.level for v in values)


def _known(curve: Curve, near: np.ndarray) -> list[float]:
    there = curve[near]
    return [float(v) for v in there[np.isfinite(there)]]


def quiet_line(quiet: list[Strip]) -> str:
    """What has nothing to show, with its last values."""
    said = ", ".join(f"{strip.name} {strip.value}".strip() for strip in quiet)
    return f"{said}: nothing to see." if said else ""
