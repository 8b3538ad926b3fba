"""Care beside a course that is not in the water: changes, siphoning and less food, by its shape."""

from __future__ import annotations

from datetime import datetime

from tankward.quantities.faults import BadInput
from tankward.room.acts import Feed
from tankward.room.time import add_hours

from .asked import Asked
from .shape import Shape
from .steps import Steps, change, exactly, siphon

IN_THE_WATER = "water_long"  # there the shape lays the doses too


def lay_care(asked: Asked, steps: Steps, ends: datetime) -> None:
    """What a shape asks for beside a food, a bath or warmer water.

    Raises
    ------
    BadInput
        If it holds doses or warmth of its own: the course has its own.
    """
    shape, route = asked.shape, asked.chosen.regimen.route
    if shape is None or route == IN_THE_WATER:
        return
    if shape.doses or shape.warm_c is not None:
        raise BadInput("shape", shape.text, "holds doses or warmth: of this course only care can be set.")
    _water(asked, steps, shape)
    if shape.feed != 1.0 and route != "feed":
        at = asked.start
        steps.add(at, "feed-less", Feed(usual=shape.feed), values={"share": exactly(shape.feed, "share")})
        steps.add(ends, "feed-usual", Feed(usual=1.0))


def _water(asked: Asked, steps: Steps, shape: Shape) -> None:
    shares = {c.at_h: c.share for c in shape.changes}
    for hour in sorted({*shares, *shape.siphons}):
        at = add_hours(asked.start, hour)
        if hour in shape.siphons:
            siphon(steps, at)
        if hour in shares:
            change(steps, at, shares[hour], asked.request, asked.volume_l, why="beside")
