"""How the course in T2 of the demo stands: its flukes with what was given and without, the day to decide."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from run import within

from tankward.desk.demo.generate import demo_logbook
from tankward.desk.helping import helping
from tankward.knowledge.loader import load
from tankward.room.replay import replay

NOW = datetime(2026, 5, 14, 21, 0, tzinfo=UTC)


@within(seconds=1.0)
def bench_is_it_helping() -> Callable[[], object]:
    """The whole answer of a process that has the room at hand; the page does not wait for it."""
    facts, room = load(), replay(demo_logbook(NOW, load()))
    return lambda: helping(room, "T2", NOW, facts)
