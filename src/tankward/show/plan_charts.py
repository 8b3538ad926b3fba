"""The courses of a plan as small multiples: one time, one scale, so that they can be laid side by side."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

import msgspec
import numpy as np
from msgspec.structs import replace

from tankward.knowledge.known import Facts
from tankward.model.result import Forecast
from tankward.quantities.digits import plain_number
from tankward.room.acts import AnyAct, Change, Dose
from tankward.room.replay import Room

from .bedside import NAMES, STEP, bedside_chart
from .charts.bedside import bedside_views
from .charts.quiet import matters, quiet_line
from .charts.records import Chart, Strip
from .charts.scale import drawn_span
from .drawings.svg import Svg

WIDTHS = (280.0, 350.0, 450.0, 680.0)  # two stand beside each other on a wide sheet
PAST_D = 0.25
AMMONIA = "Ammonia"


class Drawn(msgspec.Struct, frozen=True, kw_only=True):
    """What one course is drawn from."""

    says: str
    forecast: Forecast
    acts: tuple[tuple[datetime, AnyAct], ...]
    causes: tuple[str, ...]


def plan_charts(drawn: Sequence[Drawn], room: Room, facts: Facts, zone: str) -> list[Chart]:
    """A chart for each; a strip of the water stands in all where it matters in one."""
    charts = [
        bedside_chart(
            d.forecast,
            room,
            facts,
            says=d.says,
            zone=zone,
            planned=_within(d),
            causes=d.causes,
            past_days=PAST_D,
        )
        for d in drawn
    ]
    shown = _shown(charts)
    spans = _spans(charts)
    return [_one(chart, shown, spans) for chart in charts]


def _within(drawn: Drawn) -> list[tuple[datetime, AnyAct]]:
    """The acts on the days that are drawn."""
    found = drawn.forecast
    last = found.now + timedelta(hours=found.times_h[-1] - found.now_h)
    return sorted((one for one in drawn.acts if one[0] <= last), key=lambda one: (one[0], _rank(one[1])))


def _rank(act: AnyAct) -> int:
    """Of what is done at one instant the dose has its words under the line before all else."""
    return 0 if isinstance(act, Dose) else 1 if isinstance(act, Change) else 2


def plan_views(chart: Chart) -> Svg:
    """The chart at the widths of a small one."""
    return bedside_views(chart, WIDTHS)


def _shown(charts: Sequence[Chart]) -> set[str]:
    """The strips that are drawn, by name; ammonia where there would be none."""
    found = {s.name for c in charts for s in c.strips if matters(c, s, ahead_h=float(c.hours[-1]))}
    bare = any(not any(s.lead for s in c.strips) for c in charts)
    return found | {AMMONIA} if bare else found


def _spans(charts: Sequence[Chart]) -> dict[str, tuple[float, float]]:
    """Lowest and highest of each quantity over all charts."""
    found: dict[str, tuple[float, float]] = {}
    for strip in (s for c in charts for s in c.strips):
        low, high = drawn_span(strip)
        before = found.get(strip.name, (low, high))
        found[strip.name] = min(low, before[0]), max(high, before[1])
    return found


def _one(chart: Chart, shown: set[str], spans: dict[str, tuple[float, float]]) -> Chart:
    open_ = [s for s in chart.strips if s.name in shown]
    quiet = [s for s in chart.strips if s.name not in shown]
    strips = tuple(_scaled(s, spans, chart) for s in open_)
    told = " ".join(line for line in (quiet_line(quiet), chart.quiet) if line)
    return replace(chart, strips=strips, quiet=told, counts=())


def _scaled(strip: Strip, spans: dict[str, tuple[float, float]], chart: Chart) -> Strip:
    """On the scale of all; its head says how far it goes, where a running course's says what is now."""
    low, high = spans[strip.name]
    floor = any(not limit.over for limit in strip.limits)
    ahead = np.where(chart.hours >= chart.now_h, strip.mid, np.nan)
    n = int(np.nanargmin(ahead) if floor else np.nanargmax(ahead))
    ends = [c[n] for c in (strip.low, strip.high) if c is not None]
    step = STEP.get(next((k for k, name in NAMES.items() if name == strip.name), ""), 0.0)
    return replace(
        strip, least=low, most=high, value=plain_number(float(strip.mid[n]), step),
        value_range=" to ".join(dict.fromkeys(plain_number(float(x), step) for x in ends)),
        value_at="lowest" if floor else "highest",
    )  # fmt: skip
