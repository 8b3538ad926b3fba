"""The bedside chart: days on top, strips, the now line, counts at the foot."""

from __future__ import annotations

import msgspec
import numpy as np

from ..drawings.svg import Svg, line, num, picture, tag, views, words
from .paper import Lane, Paper, level_text, paper_of, said
from .records import Chart, CountRow
from .scale import Day, Scale, days_of, said_hour, scale_of
from .strip import Place, draw, draw_acts
from .style import STANDALONE
from .table import read_at

WIDTHS = (280.0, 350.0, 520.0, 680.0, 984.0)  # of the paper; the page shows the widest that fits
TOP_PX = 30.0
ROW_PX = 33.0
READ_EVERY_H = 6.0
CLEAR_PX = 72.0  # nearer to the edge the line of now would stand in the names of the strips


def bedside(chart: Chart, width: float = 350.0, *, standalone: bool = False) -> Svg:
    """The chart on paper of one width.

    Parameters
    ----------
    width
        Native width, text never smaller than 15 in it. [px]
    standalone
        Carry the print style inside, for a file without a page.
    """
    scales = [scale_of(strip) for strip in chart.strips]
    paper = paper_of(chart, width, _widest_tick(scales), standalone=standalone)
    days = days_of(chart)
    strips, y, drawn = _strips(chart, scales, paper)
    counts, bottom = _counts(chart, paper, days, y)
    body = (
        _day_lines(paper, days, y)
        + strips
        + counts
        + _day_names(paper, days)
        + _now(chart, paper, bottom, drawn)
    )
    plot = tag("g", body, class_="plot", data_left=paper.left, data_right=paper.right, data_bottom=bottom)
    return picture(
        width, bottom + 6, plot, class_="bedside", title=chart.says, style=STANDALONE if standalone else ""
    )


def bedside_views(chart: Chart, widths: tuple[float, ...] = WIDTHS) -> Svg:
    """The chart at all widths; the style sheet shows the one that fits, so text never shrinks."""
    return views(((width, bedside(chart, width)) for width in widths), read=_reading_line(chart))


def _reading_line(chart: Chart) -> str:
    """What a reading line says at every six hours, for the script that moves it: times and strips."""
    hours = [float(h) for h in np.arange(0.0, float(chart.hours[-1]), READ_EVERY_H)]
    names = [strip.name for strip in chart.strips]
    rows = [[h, said_hour(chart, h), *read_at(chart, h)] for h in hours]
    return msgspec.json.encode({"until": float(chart.hours[-1]), "names": names, "rows": rows}).decode()


def _widest_tick(scales: list[Scale]) -> int:
    return max((len(level_text(t)) for scale in scales for t in scale.ticks), default=1)


def _strips(chart: Chart, scales: list[Scale], paper: Paper) -> tuple[str, float, list[Place]]:
    body, y, drawn = "", TOP_PX, []
    with_acts = next((i for i, strip in enumerate(chart.strips) if strip.lead), 0)
    for i, (strip, scale) in enumerate(zip(chart.strips, scales, strict=True)):
        acts = chart.acts if i == with_acts else ()
        place = Place(paper, strip, scale, y, bool(acts))
        body += draw(chart, strip, place) + draw_acts(acts, chart, place)
        drawn.append(place)
        y = place.bottom + 22
    return body, y, drawn


def _day_lines(paper: Paper, days: tuple[Day, ...], bottom: float) -> str:
    each = paper.x(24) - paper.x(0)
    step = 1 if each >= 12 else 7
    xs = [paper.x(day.from_h) for day in days[1:] if day.index % step == 0]
    return tag("path", class_="day", d="".join(f"M{num(x)} {num(TOP_PX)}V{num(bottom - 10)}" for x in xs))


def _day_names(paper: Paper, days: tuple[Day, ...]) -> str:
    """Today first and bold; others as long as there is room."""
    lane = Lane(paper, paper.left - 10, paper.right)
    body = ""
    for day in sorted(days, key=lambda day: not day.today):
        left, right = paper.x(max(day.from_h, 0)), paper.x(min(day.to_h, paper.hours))
        text = _day_text(day, paper)
        if right - left < 0.6 * paper.text_px(text) and not day.today and paper.x(24) - paper.x(0) >= 24:
            continue
        at = lane.place((left + right) / 2, f"{text} ")  # it is set larger than what stands in the strips
        if at is not None:
            body += words(at, 18, text, "day-name today" if day.today else "day-name", "middle")
    return body


def _day_text(day: Day, paper: Paper) -> str:
    each = paper.x(24) - paper.x(0)
    if each < 24:
        return f"{day.date.day} {day.date:%b}"
    return f"{day.date:%a} {day.date.day}" if each >= 56 else f"{day.date:%a}"


def _now(chart: Chart, paper: Paper, bottom: float, drawn: list[Place]) -> str:
    """One line over all strips; in pieces where it would run through their heads."""
    x = paper.x(chart.now_h)
    wedge = tag("path", class_="wedge", d=f"M{num(x - 6)} {num(TOP_PX - 6)}h12l-6 8z")
    if paper.wide or x - paper.left > CLEAR_PX:
        return line(x, TOP_PX, x, bottom, "now") + wedge
    return wedge + "".join(line(x, place.scale_top, x, place.base, "now") for place in drawn)


def _counts(chart: Chart, paper: Paper, days: tuple[Day, ...], y: float) -> tuple[str, float]:
    body = ""
    if chart.counts_of and chart.counts and not paper.wide:
        body += said(0, y + 12, chart.counts_of, "name")
        y += 24
    for row in chart.counts:
        body += _count_row(row, chart, paper, days, y)
        y += ROW_PX
    return body, y - (0 if chart.counts else 14)


def _count_row(row: CountRow, chart: Chart, paper: Paper, days: tuple[Day, ...], y: float) -> str:
    left = 0.0 if paper.wide else paper.left
    body = line(left, y + ROW_PX - 1, paper.right, y + ROW_PX - 1, "hair")
    for day in days:
        if day.index in row.counts:
            middle = paper.x((max(day.from_h, 0) + min(day.to_h, paper.hours)) / 2)
            body += _number(middle, y, row.counts[day.index], row.dead)
    if paper.wide:
        return body + words(0, y + 21, row.name, "row-name")
    now = paper.x(chart.now_h)
    room = paper.right - now - 14
    if paper.text_px(row.name) <= room:
        return body + said(now + 14, y + 21, row.name, "row-name")
    return body + said(paper.right, y + 21, row.name, "row-name", "end")


def _number(x: float, y: float, number: int, dead: bool) -> str:
    box = tag("rect", class_="dead-box", x=x - 13, y=y + 3, width=26, height=26) if dead else ""
    return box + words(x, y + 22, str(number), "count dead" if dead else "count", "middle")
