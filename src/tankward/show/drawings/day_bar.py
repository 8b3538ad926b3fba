"""One day from midnight to midnight: the hours at home as a field, an absence hatched, things to do as bars.

It stands beside words that say the same.
"""

from __future__ import annotations

from collections.abc import Iterable

from .svg import Svg, line, num, ornament, tag

WIDE, HIGH = 288.0, 22.0  # 12 to the hour
BASE, TOP = 18.0, 3.0
DAY_MIN = 1440
QUARTERS = (6, 12, 18)
SLANT = 12.0


def day_bar(
    home: Iterable[tuple[int, int]], *, away: bool = False, acts: Iterable[tuple[int, bool]] = ()
) -> Svg:
    """The bar of one day.

    Parameters
    ----------
    home
        Spans at home. [minutes of the day]
    away
        Whether the whole day is one away.
    acts
        Minute of each thing to do, and whether it is done.
    """
    body = _hatch() if away else "".join(_span(*span) for span in home)
    body += line(0, BASE, WIDE, BASE, "base")
    body += "".join(line(WIDE * h / 24, BASE, WIDE * h / 24, BASE + 4, "base") for h in QUARTERS)
    body += "".join(_act(minute, done) for minute, done in acts)
    return ornament(WIDE, HIGH, body, class_="day-bar", stretch=True)


def _x(minute: int) -> float:
    return WIDE * minute / DAY_MIN


def _span(first: int, last: int) -> str:
    left, right = _x(first), _x(last)
    field = tag("rect", class_="home", x=left, y=TOP, width=max(right - left, 1.0), height=BASE - TOP)
    return field + line(left, TOP, right, TOP, "edge")


def _hatch() -> str:
    """Slanted lines over the whole day."""
    high = BASE - TOP
    starts = (n * SLANT for n in range(int(WIDE / SLANT)))
    path = "".join(
        f"M{num(x)} {num(BASE)}L{num(min(x + high, WIDE))} {num(BASE - min(high, WIDE - x))}" for x in starts
    )
    return tag("path", class_="hatch", d=path)


def _act(minute: int, done: bool) -> str:
    x = min(max(_x(minute), 1.0), WIDE - 1.0)
    return line(x, TOP - 1, x, BASE, "act" if done else "act planned")
