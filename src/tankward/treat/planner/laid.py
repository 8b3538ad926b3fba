"""What a shape does to the water: as the steps of its course do, but for the dechlorinator."""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import datetime, timedelta

from tankward.judge.urgent import CARBON_LEAVES
from tankward.knowledge.known import Facts
from tankward.room.acts import Air, AnyAct, Change, Dose, Feed, Heat, Light, Media, Siphon
from tankward.room.time import add_hours
from tankward.treat.course.choice import Chosen
from tankward.treat.course.heat import a_day_c
from tankward.treat.course.request import CourseRequest
from tankward.treat.course.shape import Shape
from tankward.treat.course.steps import CARBON, HALF_FLOOR
from tankward.treat.course.tank import SALT, wants_dark

Acts = list[tuple[datetime, AnyAct]]
Given = Callable[[float], dict[str, float]]


def shape_acts(
    shape: Shape, start: datetime, given: Given, chosen: Chosen, request: CourseRequest, facts: Facts
) -> Acts:
    """The acts of a draft, without making the course; `given`: a share of a full dose, as it is measured."""
    ends = add_hours(start, shape.end_h)
    found: Acts = [(start, Air(more=True))]
    if wants_dark(chosen, facts):
        found.append((start, Light(hours_per_day=0.0)))
    if chosen.one.kind != SALT:
        found.append((start, Media(medium=CARBON, into=False)))
        if not CARBON_LEAVES & {chosen.one.id, *chosen.one.parts}:
            found.append((ends, Media(medium=CARBON, into=True)))
    if shape.feed != 1.0:
        found += [(start, Feed(usual=shape.feed)), (ends, Feed(usual=1.0))]
    if shape.warm_c is not None and request.temp_c is not None:
        found += _warmed(start, ends, request.temp_c.value, shape.warm_c, facts)
    found += [(add_hours(start, h), Siphon(floor_share=HALF_FLOOR)) for h in shape.siphons]
    found += [(add_hours(start, c.at_h), Change(share=c.share, dechlorinated=True)) for c in shape.changes]
    found += [(add_hours(start, d.at_h), Dose(actives=given(d.factor))) for d in shape.doses]
    return found


def _warmed(start: datetime, ends: datetime, now_c: float, warm_c: float, facts: Facts) -> Acts:
    """Up by daily steps, and down again from the end on."""
    days = max(1, math.ceil(abs(warm_c - now_c) / a_day_c(facts) - 1e-9))
    found: Acts = []
    for begin, first, last in ((start, now_c, warm_c), (ends, warm_c, now_c)):
        rows = [first + (last - first) * (n + 1) / days for n in range(days)]
        found += [(begin + timedelta(days=n), Heat(temp_c=round(c, 1))) for n, c in enumerate(rows)]
    return found
