"""What a germ is drawn of: paths in units of its own, so that it can be put on any scale."""

from __future__ import annotations

from collections.abc import Iterable
from math import cos, pi, sin

import msgspec

from .svg import num, tag

Box = tuple[float, float, float, float]


class Germ(msgspec.Struct, frozen=True, kw_only=True):
    """One thing under the microscope. `unit`: so many of its own units are the size of the facts."""

    id: str
    box: Box  # left, top, width, height of all that is drawn
    outside: tuple[str, ...]
    inside: tuple[str, ...] = ()
    threads: tuple[str, ...] = ()  # hair, threads: the thinnest stroke
    grains: tuple[tuple[float, float, float], ...] = ()
    unit: float = 100.0

    @property
    def middle(self) -> tuple[float, float]:
        x, y, wide, high = self.box
        return x + wide / 2, y + high / 2


def strokes(germ: Germ, scale: float, *, fine: bool = True) -> str:
    """The drawing at so many pixels a unit, its middle at 0, 0. Not `fine`: thin, without hair and grains."""
    x, y = germ.middle
    outside = "g-out" if fine else "g-in"
    body = "".join(tag("path", class_=outside, d=d) for d in germ.outside)
    body += "".join(tag("path", class_="g-in" if fine else "g-hair", d=d) for d in germ.inside)
    if fine:
        body += "".join(tag("path", class_="g-hair", d=d) for d in germ.threads)
        body += "".join(tag("circle", class_="g-grain", cx=cx, cy=cy, r=r) for cx, cy, r in germ.grains)
    return tag("g", body, transform=f"scale({scale:.5f}) translate({num(-x)} {num(-y)})")


def ellipse(cx: float, cy: float, rx: float, ry: float) -> str:
    """A closed oval."""
    around = f"a{num(rx)} {num(ry)} 0 1 0 {{}} 0"
    return f"M{num(cx - rx)} {num(cy)}{around.format(num(2 * rx))}{around.format(num(-2 * rx))}Z"


def hairs(cx: float, cy: float, rx: float, ry: float, number: int, long: float) -> str:
    """Short hair all round an oval."""
    parts = []
    for k in range(number):
        a = 2 * pi * k / number
        x, y = cx + rx * cos(a), cy + ry * sin(a)
        parts.append(f"M{num(x)} {num(y)}l{num(long * cos(a + 0.25))} {num(long * sin(a + 0.25))}")
    return "".join(parts)


def spokes(cx: float, cy: float, near: float, far: float, number: int, lean: float = 0.0) -> str:
    """Short lines between two rings, leaning by an angle. [rad]"""
    parts = []
    for k in range(number):
        a = 2 * pi * k / number
        parts.append(
            f"M{num(cx + near * cos(a))} {num(cy + near * sin(a))}"
            f"L{num(cx + far * cos(a + lean))} {num(cy + far * sin(a + lean))}"
        )
    return "".join(parts)


def band(cx: float, cy: float, radius: float, half: float, start: float, end: float) -> str:
    """A closed piece of a ring, such as a horseshoe, from one angle to another. [rad]"""

    def arc(r: float, first: float, last: float) -> list[str]:
        steps = [first + (last - first) * k / 24 for k in range(25)]
        return [f"{num(cx + r * cos(a))} {num(cy + r * sin(a))}" for a in steps]

    return "M" + "L".join([*arc(radius + half, start, end), *arc(radius - half, end, start)]) + "Z"


def scattered(
    cx: float, cy: float, rx: float, ry: float, number: int, size: float
) -> tuple[tuple[float, float, float], ...]:
    """Grains spread evenly in an oval, the same at every call (a sunflower's order)."""
    golden = pi * (3 - 5**0.5)
    turns: Iterable[int] = range(1, number + 1)
    return tuple(
        (
            cx + rx * (k / (number + 1)) ** 0.5 * cos(k * golden),
            cy + ry * (k / (number + 1)) ** 0.5 * sin(k * golden),
            size,
        )
        for k in turns
    )


def extent_of(germ: Germ) -> float:
    """All that is drawn over what the facts measure: threads and piles are longer than one alone."""
    return germ.box[2] / germ.unit
