"""One strip: fans, curve, readings, limits, the field that works, acts."""

from __future__ import annotations

import numpy as np

from ..drawings.marks import shape
from ..drawings.svg import line, num, tag, words
from .curves import cut, fan, path
from .paper import Lane, Paper, level_text, said, second_line
from .records import Act, Chart, Curve, Limit, Strip
from .scale import Scale

FAR_ROW_PX = 26.0
LANE_PX = 24.0
HEAD_PX = 50.0


class Place:
    """A strip's heights: far limits on top, the scale below them, acts under the base."""

    def __init__(self, paper: Paper, strip: Strip, scale: Scale, top: float, acts: bool) -> None:
        self.paper, self.strip, self.scale, self.top = paper, strip, scale, top
        head = 0.0 if paper.wide else HEAD_PX
        self.far_top = top + head + 8
        far = len(scale.above) + len(scale.unknown)
        words_over = 0 if paper.wide or far or not scale.near else 14
        self.scale_top = self.far_top + FAR_ROW_PX * far + (8 if far else words_over)
        self.base = self.scale_top + self._tall()
        self.foot = self.base + FAR_ROW_PX * len(scale.below)
        self.tick_px = max((paper.text_px(level_text(t)) for t in scale.ticks), default=0.0)
        self.bottom = max(self.foot + (LANE_PX if acts else 0), top + (96 if paper.wide else 0))

    def _tall(self) -> float:
        return (150.0 if self.paper.wide else 170.0) if self.strip.lead else 68.0

    def y(self, value: float) -> float:
        share = (value - self.scale.low) / (self.scale.high - self.scale.low)
        return self.base - share * (self.base - self.scale_top)

    def curve_y(self, values: Curve) -> Curve:
        share = (values - self.scale.low) / (self.scale.high - self.scale.low)
        return self.base - np.clip(share, -0.02, 1.05) * (self.base - self.scale_top)


def draw(chart: Chart, strip: Strip, place: Place) -> str:
    """Everything of a strip but its acts, from the back to the front."""
    paper = place.paper
    x = paper.left + (paper.right - paper.left) * chart.hours / paper.hours
    role = "strip lead" if strip.lead else "strip"
    return tag(
        "g",
        _fans(strip, place, x)
        + _works(place)
        + line(paper.left, place.base, paper.right, place.base, "base")
        + _ticks(place)
        + _limit_lines(place)
        + _curve(chart, strip, place, x)
        + _readings(strip, place)
        + _limit_words(place)
        + _works_words(place)
        + (_head_beside(place) if paper.wide else _head_over(place)),
        class_=role,
    )


def _fans(strip: Strip, place: Place, x: Curve) -> str:
    body = ""
    if strip.low is not None and strip.high is not None:
        d = fan(x, place.curve_y(strip.low), place.curve_y(strip.high))
        body += tag("path", class_="fan90", d=d) if d else ""
    if strip.q25 is not None and strip.q75 is not None:
        d = fan(x, place.curve_y(strip.q25), place.curve_y(strip.q75))
        body += tag("path", class_="fan50", d=d) if d else ""
    return body


def _curve(chart: Chart, strip: Strip, place: Place, x: Curve) -> str:
    past, ahead = cut(x, place.curve_y(strip.mid), place.paper.x(chart.now_h))
    body = ""
    for (xs, ys), kind in ((past, "past"), (ahead, "old" if chart.old else "ahead")):
        d = path(xs, ys)
        body += tag("path", class_=f"mid {kind}", d=d) if d else ""
    return body


def _readings(strip: Strip, place: Place) -> str:
    body = ""
    for r in strip.readings:
        x, y = place.paper.x(r.hour), place.y(r.value)
        if r.low is not None and r.high is not None:
            body += line(x, place.y(r.low), x, place.y(r.high), "error")
        body += tag("circle", class_="dot", cx=x, cy=y, r=4)
    return body


def _ticks(place: Place) -> str:
    x = place.paper.left - 8
    return "".join(words(x, place.y(t) + 5, level_text(t), "tick-label", "end") for t in place.scale.ticks)


def _works(place: Place) -> str:
    """A field of fine lines between dotted edges: it survives printing and never hides the fan."""
    works = place.strip.works
    if works is None:
        return ""
    left, right = place.paper.left, place.paper.right
    top, bottom = place.y(works.high), place.y(works.low)
    between = max(2, int((bottom - top) / 6))
    ys = [top + (bottom - top) * k / between for k in range(1, between)]
    body = tag("path", class_="field", d="".join(f"M{num(left)} {num(y)}H{num(right)}" for y in ys))
    return body + line(left, top, right, top, "edge") + line(left, bottom, right, bottom, "edge")


def _works_words(place: Place) -> str:
    works, paper = place.strip.works, place.paper
    if works is None:
        return ""
    middle = (place.y(works.high) + place.y(works.low)) / 2
    if not paper.wide:
        return said(paper.left + 8, place.y(works.high) - 6, works.words, "strong")
    body = words(paper.right + 14, middle + (0 if works.note else 5), works.words, "strong")
    return body + (words(paper.right + 14, middle + 19, works.note, "soft") if works.note else "")


def _limit_rows(place: Place) -> list[tuple[Limit, float, bool]]:
    """Every limit with its height and whether it is off the scale."""
    rows = [(m, place.far_top + 8 + FAR_ROW_PX * i, True) for i, m in enumerate(place.scale.above)]
    rows += [(m, place.y(m.level), False) for m in place.scale.near if m.level is not None]
    rows += [(m, place.base + FAR_ROW_PX * (i + 0.7), True) for i, m in enumerate(place.scale.below)]
    return rows


def _limit_lines(place: Place) -> str:
    paper = place.paper
    body = ""
    for limit, y, far in _limit_rows(place):
        beside = paper.text_px(limit.words) + 6 if far and not paper.wide else 0
        body += line(paper.left, y, paper.right - beside, y, f"limit {limit.kind}")
        body += shape(limit.kind, paper.left, y, 6.5)
        if far:
            body += _break(paper.left, y + (12 if limit in place.scale.above else -12))
    for i, _ in enumerate(place.scale.unknown):
        body += shape("unknown", paper.left, _unknown_y(place, i), 7.5)
    return body


def _break(x: float, y: float) -> str:
    """Two strokes: between here and there the scale is left out."""
    return tag("path", class_="break", d="".join(f"M{num(x - 6)} {num(y + k)}l12 5" for k in (-4, 0)))


def _unknown_y(place: Place, i: int) -> float:
    return place.far_top + 8 + FAR_ROW_PX * (len(place.scale.above) + i)


def _limit_words(place: Place) -> str:
    paper, body = place.paper, ""
    last = -100.0
    for limit, y, far in sorted(_limit_rows(place), key=lambda row: row[1]):
        if paper.wide:
            last = max(y + 5, last + 20)
            body += words(paper.right + 14, last, limit.words, f"limit-words {limit.kind}")
        else:
            body += said(
                paper.right, y + 5 if far else y - 7, limit.words, f"limit-words {limit.kind}", "end"
            )
    for i, limit in enumerate(place.scale.unknown):
        body += said(paper.left + 14, _unknown_y(place, i) + 5, limit.words, "strong")
    return body


def _head_over(place: Place) -> str:
    """By thumb: the name at the left, the last value at the right, above the strip."""
    strip, paper, y = place.strip, place.paper, place.top + 20
    ends = f"{strip.value_at}, {strip.value_range}" if strip.value_range else ""
    body = said(0, y, strip.name, "name") + said(0, y + 22, _fit(second_line(strip), ends, paper), "soft")
    if strip.value:
        body += said(paper.right, y + 2, strip.value, "value", "end")
    if ends:
        body += said(paper.right, y + 22, ends, "soft range-now", "end")
    return body


def _head_beside(place: Place) -> str:
    """On a wide sheet: name, unit and last value at the left of the strip."""
    strip, y = place.strip, place.top + 24
    body = words(0, y, strip.name, "name") + words(0, y + 22, second_line(strip), "soft")
    body += words(0, y + 54, strip.value, "value") if strip.value else ""
    if strip.value_range:
        gap = 14.5 * len(strip.value) + 10
        fits = gap + place.paper.text_px(strip.value_range) < place.paper.left - 16 - place.tick_px
        body += words(gap if fits else 0, y + (54 if fits else 76), strip.value_range, "soft range-now")
    return body


def _fit(text: str, beside: str, paper: Paper) -> str:
    """The text, or its last part after a comma where the room is short: the unit matters most."""
    room = min(0.56 * paper.width, paper.width - 1.07 * paper.text_px(beside) - 12)
    return text if paper.text_px(text) <= room else text.rpartition(", ")[2]


def draw_acts(acts: tuple[Act, ...], chart: Chart, place: Place) -> str:
    """Short bars on the base line, solid done, dashed planned, the amount below; next to now first."""
    paper = place.paper
    lane = Lane(paper, paper.left - 6, paper.width)
    body = ""
    for act in sorted(acts, key=lambda a: abs(a.hour - chart.now_h)):
        x = paper.x(act.hour)
        body += line(x, place.base, x, place.base - 11, "act done" if act.done else "act planned")
        for text in _amounts(act, paper):
            at = lane.place(x, text)
            if at is not None:
                body += said(at, place.foot + 19, text, "act-words", "middle")
                break
    return body


def _amounts(act: Act, paper: Paper) -> list[str]:
    """What may stand under an act, longest first where there is room."""
    return [t for t in (act.words if paper.wide or not act.short else "", act.short) if t]
