"""The bar of a chance from low to high, and the square of a tick."""

from __future__ import annotations

from .svg import Svg, line, ornament, tag

BORDERS = (0.05, 0.33, 0.66, 0.95)  # where one word of chance ends and the next begins
WIDE = 1000.0
LEAST = 0.024  # a bar that can still be seen


def range_bar(low: float, high: float) -> Svg:
    """A track with ticks at 5, 33, 66 and 95 % and a bar from low to high; stands below its words.

    Parameters
    ----------
    low, high
        Chances. [share, 0 to 1]
    """
    low, high = max(0.0, min(low, high)), min(1.0, max(low, high))
    spare = max(0.0, LEAST - (high - low)) / 2
    left = max(0.0, min(low - spare, 1.0 - LEAST))
    width = max(high - low, LEAST)
    body = line(0, 12, WIDE, 12, "track")
    body += "".join(line(WIDE * b, 7, WIDE * b, 17, "border") for b in BORDERS)
    body += tag("rect", class_="bar", x=WIDE * left, y=8.5, width=WIDE * min(width, 1.0 - left), height=7)
    return ornament(WIDE, 24, body, class_="range", stretch=True)


def range_ticks() -> Svg:
    """The borders of the classes, under their names and once above a list."""
    body = "".join(line(WIDE * b, 0, WIDE * b, 8, "border") for b in BORDERS)
    return ornament(WIDE, 8, body, class_="range-ticks", stretch=True)


def tick_box() -> Svg:
    """An empty square; its button says whether it is ticked."""
    body = tag("rect", class_="box", x=1, y=1, width=34, height=34, rx=3)
    return ornament(
        36, 36, body + tag("path", class_="stroke", d="M10 18.5L15.5 24L26 12.5"), class_="square"
    )
