"""Five marks, so that black and white loses nothing. A mark never stands without its word."""

from __future__ import annotations

from .svg import Svg, ornament, tag

MEANS = {
    "danger": "danger",
    "caution": "care",
    "unknown": "not known",
    "done": "done",
    "out": "ruled out",
}


def shape(kind: str, x: float = 8.0, y: float = 8.0, r: float = 7.5) -> str:
    """The mark around a point, to stand inside another drawing."""
    return {"danger": _full, "caution": _half, "unknown": _ring, "done": _tick, "out": _bar}[kind](x, y, r)


def mark(kind: str) -> Svg:
    """The mark beside its word.

    Parameters
    ----------
    kind
        danger, caution, unknown, done or out.
    """
    return ornament(16, 16, shape(kind), class_="mark")


def _diamond(x: float, y: float, r: float) -> str:
    return f"M{x:g} {y - r:g}L{x + r:g} {y:g}L{x:g} {y + r:g}L{x - r:g} {y:g}Z"


def _full(x: float, y: float, r: float) -> str:
    return tag("path", class_="m-danger", d=_diamond(x, y, r))


def _half(x: float, y: float, r: float) -> str:
    inner = r - 0.75
    left = f"M{x:g} {y - inner:g}L{x:g} {y + inner:g}L{x - inner:g} {y:g}Z"
    return tag("path", class_="m-caution", d=_diamond(x, y, inner)) + tag("path", class_="m-half", d=left)


def _ring(x: float, y: float, r: float) -> str:
    return tag("circle", class_="m-unknown", cx=x, cy=y, r=r - 1.4)


def _tick(x: float, y: float, r: float) -> str:
    s = r / 7.5
    d = f"M{x - 5.5 * s:g} {y + 0.5 * s:g}L{x - 1.8 * s:g} {y + 4.5 * s:g}L{x + 5.5 * s:g} {y - 4.5 * s:g}"
    return tag("path", class_="m-done", d=d)


def _bar(x: float, y: float, r: float) -> str:
    return tag("path", class_="m-out", d=f"M{x - 0.7 * r:g} {y:g}H{x + 0.7 * r:g}")
