"""The commands, by family. A family has `add_to(app)`."""

from __future__ import annotations

from . import calc, examine, room, start

FAMILIES = (calc, room, examine, start)
