"""Germs to scale: one close up, and the round field of a microscope, each with a scale bar."""

from __future__ import annotations

from math import floor, log10

import msgspec

from .germ_cells import CELLS
from .germ_worms import ALIKE, WORMS
from .germs import Germ, strokes
from .svg import Svg, new_id, num, picture, tag, words

GERMS: dict[str, Germ] = {g.id: g for g in (*CELLS, *WORMS, *ALIKE)}
WIDE, HIGH = 280.0, 230.0  # of a close up
FIELD = 168.0  # across the field [px]
EDGE = 14.0
DOT, PLAIN = 3.0, 45.0  # px: smaller it is no more than a dot, or has no hair and no grains
BARS = (1.0, 2.0, 5.0)


class Bar(msgspec.Struct, frozen=True, kw_only=True):
    """A scale bar: so long, for so many thousandths of a millimetre."""

    um: float
    px: float

    @property
    def words(self) -> str:
        return f"{self.um / 1000:g} mm" if self.um >= 100 else f"{self.um:g} µm"


def bar_of(px_per_um: float, most_px: float) -> Bar:
    """The longest bar of 1, 2 or 5 times a power of ten that is no longer than so many pixels."""
    most_um = most_px / px_per_um
    power = 10.0 ** floor(log10(most_um))
    um = max(step * power for step in BARS if step * power <= most_um)
    return Bar(um=um, px=um * px_per_um)


def close_up(germ: str, size_um: float | None, title: str) -> Svg:
    """One germ as large as it goes.

    Parameters
    ----------
    germ
        Which one.
    size_um
        Its size by the facts; None: nobody gives one, so there is no bar and the drawing says so. [µm]
    title
        What it shows, for ears.
    """
    one = GERMS[germ]
    scale = min((WIDE - 2 * EDGE) / one.box[2], (HIGH - 56 - EDGE) / one.box[3])
    body = tag("g", strokes(one, scale), transform=f"translate({num(WIDE / 2)} {num((HIGH - 44) / 2 + 4)})")
    if size_um is None:
        body += words(EDGE, HIGH - 12, "not to scale", "soft")
    else:
        body += _bar(bar_of(scale * one.unit / size_um, 0.4 * WIDE), EDGE, HIGH - 30)
    return picture(WIDE, HIGH, body, class_="germ", title=title)


def field(germ: str, size_um: float, across_um: float, title: str) -> Svg:
    """The round field of a microscope with the germ in it as large as it looks there.

    Parameters
    ----------
    germ
        Which one.
    size_um
        Its size. [µm]
    across_um
        What the field is across. [µm]
    title
        What it shows, for ears.
    """
    one, px_per_um = GERMS[germ], FIELD / across_um
    scale, middle, r = size_um * px_per_um / one.unit, EDGE + FIELD / 2, FIELD / 2
    long_px = one.box[2] * scale
    name = new_id("f")
    clip = tag("clipPath", tag("circle", cx=middle, cy=middle, r=r), id=name)
    places = PLACES if long_px < 0.32 * FIELD else PLACES[:1]
    seen = "".join(
        tag(
            "g",
            _seen(one, scale, long_px),
            transform=f"translate({num(middle + x * r)} {num(middle + y * r)}) rotate({turn})",
        )
        for x, y, turn in places
    )
    body = clip + tag("g", seen, clip_path=f"url(#{name})")
    body += tag("circle", class_="g-field", cx=middle, cy=middle, r=r)
    body += _bar(bar_of(px_per_um, 0.32 * FIELD), EDGE, 2 * middle + 8)
    return picture(2 * middle, 2 * middle + 40, body, class_="germ", title=title)


PLACES = ((0.02, -0.04, 0), (-0.46, 0.34, 40), (0.42, 0.46, 150), (0.34, -0.56, -70))


def _seen(germ: Germ, scale: float, long_px: float) -> str:
    if long_px < DOT:
        return tag("circle", class_="g-grain", cx=0, cy=0, r=max(long_px / 2, 0.5))
    return strokes(germ, scale, fine=long_px >= PLAIN)


def _bar(bar: Bar, x: float, y: float) -> str:
    right = x + bar.px
    ends = "".join(f"M{at:.2f} {num(y - 5)}V{num(y + 5)}" for at in (x, right))
    d = f"M{x:.2f} {num(y)}H{right:.2f}{ends}"
    return tag("path", class_="g-bar", d=d) + words(x, y + 22, bar.words, "soft")
