"""The commands, by family. A family has `add_to(app)`."""

from __future__ import annotations

from . import (
    after,
    calc,
    calendar,
    completion,
    contact,
    course,
    data,
    examine,
    facts,
    forecast,
    kit,
    options,
    photo,
    plan,
    progress,
    quarantine,
    room,
    round,
    shelf,
    start,
    what_now,
    wind_down,
)
from . import print as prints

FAMILIES = (
    calc, facts, room, shelf, photo, kit, examine, what_now, options, plan, course, progress, after,
    contact, quarantine, wind_down, forecast, prints, calendar, round, data, start, completion,
)  # fmt: skip
