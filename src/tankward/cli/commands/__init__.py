"""The commands, by family. A family has `add_to(app)`."""

from __future__ import annotations

from . import (
    calc,
    completion,
    course,
    data,
    examine,
    facts,
    forecast,
    kit,
    options,
    photo,
    progress,
    room,
    round,
    shelf,
    start,
)
from . import print as prints

FAMILIES = (
    calc, facts, room, shelf, photo, kit, examine, options, course, progress, forecast, prints, round, data,
    start, completion,
)  # fmt: skip
