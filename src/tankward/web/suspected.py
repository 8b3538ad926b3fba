"""What is suspected in a tank, as its page shows it: if it is this one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

import msgspec

from tankward.desk.forecasts import Held
from tankward.knowledge.known import Facts
from tankward.model.result import Forecast, Outlook
from tankward.room.acts import AnyAct
from tankward.room.replay import Room
from tankward.show.charts.bedside import bedside_views
from tankward.show.charts.table import ChartTable, chart_table, legend
from tankward.show.drawings.svg import Svg
from tankward.show.outlook_chart import outlook_chart
from tankward.show.words.suspected import (
    GoneRow,
    gone_rows,
    gone_title,
    holds_said,
    if_it_is,
    lost_said,
    rests_on,
)
from tankward.show.words.taught import taught_says


class Suspected(msgspec.Struct, frozen=True, kw_only=True):
    """One organism: its strips, the chance that it is gone by day, what it rests on."""

    id: str
    head: str
    chart: Svg | None
    legend: str
    table: ChartTable | None
    quiet: str
    gone_title: str
    gone: list[GoneRow]
    lost: str
    holds: str
    taught: list[str]  # what the looks changed
    ask: bool  # no course says yet what it is taken for
    rests_on: list[str]


def suspected(
    room: Room, held: Held, planned: Sequence[tuple[datetime, AnyAct]], now: datetime, zone: str, facts: Facts
) -> list[Suspected]:
    """Each organism that the forecast followed; none where nothing is suspected."""
    found = held.forecast
    if found is None:
        return []
    return [_one(o, found, room, planned, not held.fresh, now, zone, facts) for o in found.outlooks]


def _one(
    o: Outlook,
    found: Forecast,
    room: Room,
    planned: Sequence[tuple[datetime, AnyAct]],
    old: bool,
    now: datetime,
    zone: str,
    facts: Facts,
) -> Suspected:
    made = outlook_chart(found, o, room, facts, zone=zone, planned=planned)
    chart = msgspec.structs.replace(made, old=old)
    drawn = bool(chart.strips)
    return Suspected(
        id=o.organism,
        head=if_it_is(o, facts),
        chart=bedside_views(chart) if drawn else None,
        legend=legend(chart) if drawn else "",
        table=chart_table(chart) if drawn else None,
        quiet=chart.quiet,
        gone_title=gone_title(o),
        gone=gone_rows(o, now, zone),
        lost=lost_said(o, found.now + timedelta(hours=found.times_h[-1] - found.now_h), now, zone),
        ask=o.likely is not None,
        holds=holds_said(o, facts),
        taught=taught_says(o, now, zone, facts),
        rests_on=rests_on(o, facts),
    )
