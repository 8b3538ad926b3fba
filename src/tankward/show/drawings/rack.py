"""The fish room to one scale: tanks on shelves, wrapped to the width of the paper."""

from __future__ import annotations

from collections.abc import Sequence
from xml.sax.saxutils import escape

import msgspec

from .animals import forms, strokes
from .marks import MEANS, shape
from .svg import Svg, line, num, ornament, picture, tag, views, words

WIDTHS = (280.0, 350.0, 520.0, 680.0, 984.0)
GAP_PX = 4.0
CLOSER = 0.75  # of the usual scale: closer together than that, a shelf goes on in the next line
TEXT_PX = 22.0


class RackTank(msgspec.Struct, frozen=True, kw_only=True):
    """One tank as it stands."""

    name: str
    url: str = ""
    width_cm: float
    height_cm: float
    water_cm: float | None = None  # height of the water line; None: not known
    sand: bool = False
    mark: str = ""  # danger, caution, unknown or nothing
    mark_words: str = ""  # what the mark means here: "sick, in treatment"
    litres: str = ""  # as it is said: "35 L"
    caption: tuple[str, ...] = ()  # who, then one word of state
    short: str = ""  # who, for narrow paper: "14 rainbows"
    form: str = ""  # name of the outline
    empty: bool = False
    planned: bool = False  # not there yet: drawn dashed
    shelf: str = ""  # where it stands; another one begins another shelf
    wide: float = 0.0  # px, filled in by the layout


def rack(
    tanks: Sequence[RackTank],
    *,
    width: float = 350.0,
    title: str = "The tanks, drawn to scale",
    style: str = "",
) -> Svg:
    """The room on shelves as wide as the paper.

    Parameters
    ----------
    tanks
        In the order in which they stand.
    width
        Of the paper: 280 and 350 are narrow, from 600 on captions get a second line. [px]
    """
    if not tanks:
        return empty_tank()
    scale, shelves = _shelved(tanks, width)
    body, y = "", 0.0
    for shelf in shelves:
        drawn, y = _shelf(shelf, scale, y, width)
        body += drawn
    role = "group" if any(tank.url for tank in tanks) else "img"
    return picture(width, y, body, class_="rack", title=title, style=style, role=role)


def rack_views(tanks: Sequence[RackTank], title: str = "The tanks, drawn to scale") -> Svg:
    """The room at all widths of a page."""
    if not tanks:
        return empty_tank()
    return views((width, rack(tanks, width=width, title=title)) for width in WIDTHS)


def empty_tank() -> Svg:
    """A dashed outline of what will stand there."""
    body = line(2, 6, 2, 76, "dash") + line(148, 6, 148, 76, "dash") + line(6, 16, 144, 16, "water dash")
    return ornament(330, 80, body + line(0, 76, 330, 76, "shelf"), class_="rack")


def _shelved(tanks: Sequence[RackTank], width: float) -> tuple[float, list[list[RackTank]]]:
    """One scale for the room: about 2.6 metres of shelf on a wide sheet, half of it by thumb.

    A shelf a little longer than that still stands on one line.
    """
    narrow = width < 600
    widest = max(t.width_cm for t in tanks)
    tallest = max(t.height_cm for t in tanks)
    scale = min(width / (widest * 2.6 if narrow else widest * 3.4), (78.0 if narrow else 130.0) / tallest)
    scale = min(scale, max(_fit(tanks, width), CLOSER * scale))
    shelves: list[list[RackTank]] = [[]]
    left = width
    for tank in tanks:
        px = max(tank.width_cm * scale, _least_px(tank))
        if shelves[-1] and (left < px or shelves[-1][-1].shelf != tank.shelf):
            shelves.append([])
            left = width
        shelves[-1].append(msgspec.structs.replace(tank, wide=px))
        left -= px + GAP_PX
    return scale, shelves


def _fit(tanks: Sequence[RackTank], width: float) -> float:
    """The scale at which the longest shelf is as wide as the paper. [px/cm]"""
    rows: dict[str, list[float]] = {}
    for tank in tanks:
        rows.setdefault(tank.shelf, []).append(tank.width_cm)
    return min((width - 2 - GAP_PX * len(row)) / sum(row) for row in rows.values())


def _least_px(tank: RackTank) -> float:
    """No tank so small that its name and its mark find no room."""
    return 20.0 + 12.0 * len(tank.name) + (24.0 if tank.mark else 0.0)


def _shelf(tanks: list[RackTank], scale: float, y: float, width: float) -> tuple[str, float]:
    base = y + max(t.height_cm for t in tanks) * scale + 6
    lines = (2 if width >= 600 else 1) if any(t.caption for t in tanks) else 0
    body, x = "", 1.0
    for tank in tanks:
        body += _target(tank, _tank(tank, x, base, scale, width) + _captions(tank, x, base, lines))
        x += tank.wide + GAP_PX
    body += line(0, base, max(x - GAP_PX + 1, width - 1 if width < 600 else x - GAP_PX + 1), base, "shelf")
    return body, base + lines * TEXT_PX + (18 if width < 600 else 30)


def _target(tank: RackTank, drawing: str) -> str:
    if not tank.url:
        return tag("g", drawing)
    return tag("a", drawing, href=tank.url, class_="tank")


def _for_ears(tank: RackTank, shown: list[str], x: float, y: float) -> str:
    """What the drawing does not write: the rest of the caption, and what the mark means."""
    state = [tank.mark_words or MEANS[tank.mark]] if tank.mark else []
    unsaid = list(dict.fromkeys(t for t in [*tank.caption, *state] if t and t not in shown))
    if not unsaid:
        return ""
    return tag("text", escape(", ".join(unsaid)), class_="ears", x=x, y=y, textLength=tank.wide)


def _tank(tank: RackTank, x: float, base: float, scale: float, width: float) -> str:
    top = base - tank.height_cm * scale
    right = x + tank.wide
    wall = "dash" if tank.planned else "wall sick" if tank.mark == "danger" else "wall"
    body = tag("rect", class_="touch", x=x, y=top, width=tank.wide, height=base - top + TEXT_PX)
    body += line(x, top, x, base, wall) + line(right, top, right, base, wall)
    body += _water(tank, x, right, base, scale) + _sand(tank, x, right, base)
    middle = (base + top) / 2
    narrow = width < 600
    body += words(x + 8 if narrow else x + 10, middle + 8, tank.name, "number" if narrow else "number big")
    if tank.litres and not narrow and base - top > 76:
        body += words(x + 10, middle + 30, tank.litres, "soft")
    if tank.mark:
        body += shape(tank.mark, right - 18, middle if narrow else top + 28)
    return body + _animal(tank, right, base, narrow)


def _water(tank: RackTank, x: float, right: float, base: float, scale: float) -> str:
    if tank.water_cm is None:
        return ""
    y = base - tank.water_cm * scale
    return line(x + 2.5, y, right - 2.5, y, _water_line(tank))


def _water_line(tank: RackTank) -> str:
    return "water dash" if tank.planned else "water none" if tank.empty else "water"


def _sand(tank: RackTank, x: float, right: float, base: float) -> str:
    return line(x + 3, base - 8, right - 3, base - 8, "sand") if tank.sand else ""


def _animal(tank: RackTank, right: float, base: float, narrow: bool) -> str:
    """An outline where there is room beside the number, 68 px or 44 px long, never to scale."""
    free = tank.wide - 34.0 - 15.0 * len(tank.name)
    long = 68.0 if free >= 90 else 44.0
    if not tank.form or narrow or free < 56:
        return ""
    form = forms()[tank.form]
    k = long / form.box[2]
    y = base - 26 - form.box[3] * k / 2 - 12
    at = f"translate({num(right - long - 22)} {num(y)}) scale({k:.3f})"
    return tag("g", strokes(form), class_="form small-form", transform=at)


def _captions(tank: RackTank, x: float, base: float, lines: int) -> str:
    shown: list[str] = []
    body = ""
    said = (_who(tank, lines), *tank.caption[1:]) if tank.caption else ()
    for n, text in enumerate(said[:lines]):
        kind = "who" if n == 0 and lines > 1 else f"soft {tank.mark}" if n else "soft"
        shown.append(_cut(text, tank.wide))
        body += words(x, base + (n + 1) * TEXT_PX - 4, shown[-1], kind)
    return body + _for_ears(tank, shown, x, base)


def _who(tank: RackTank, lines: int) -> str:
    """Who lives there, as long as there is room for it."""
    whole = tank.caption[0]
    fits = lines > 1 and _cut(whole, tank.wide) == whole
    return whole if fits or not tank.short else tank.short


def _cut(text: str, wide: float) -> str:
    """As many whole words as fit; the list beside the drawing has them all. [8 px a letter]"""
    room = int((wide - GAP_PX) / 8.0)
    kept: list[str] = []
    for word in text.split():
        if kept and len(" ".join([*kept, word])) > room:
            break
        kept.append(word)
    return " ".join(kept).rstrip(",")
