"""The commands, by family. A family has `add_to(app)`."""

from __future__ import annotations

from . import calc, course, examine, facts, forecast, room, start

FAMILIES = (calc, facts, room, examine, course, forecast, start)
