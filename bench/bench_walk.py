"""The answers a keeper waits for: an examination, a forecast, a page of options."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from run import within

from tankward.desk.demo.generate import demo_logbook
from tankward.desk.examine import examine_tank
from tankward.knowledge.loader import load
from tankward.model.forecast import forecast
from tankward.room.replay import Room, replay

NOW = datetime(2026, 5, 12, 18, 10, tzinfo=UTC)


def _demo() -> Room:
    return replay(demo_logbook(NOW, load()))


def bench_demo_logbook() -> Callable[[], object]:
    """Half a year of the demo room written."""
    facts = load()
    return lambda: demo_logbook(NOW, facts)


@within(seconds=1.0)
def bench_examination() -> Callable[[], object]:
    """What a tank with signs may have, with the next look."""
    room, facts = _demo(), load()
    return lambda: examine_tank(room, "T7", NOW, facts)


@within(seconds=1.5)
def bench_forecast() -> Callable[[], object]:
    """Seven days ahead and seven back, 256 draws."""
    room, facts = _demo(), load()
    return lambda: forecast(room, "T7", NOW, facts=facts)
