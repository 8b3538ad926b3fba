"""A slip in the demo's room: what to do now, from words to acts with amounts. The curve is not waited for."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from run import within

from tankward.desk.border import Border
from tankward.desk.demo.generate import demo_logbook
from tankward.desk.slip_said import slips_told
from tankward.desk.what_now import as_if, what_now_in
from tankward.knowledge.loader import load
from tankward.room.replay import replay
from tankward.treat.mend.power import which_first

NOW = datetime(2026, 5, 14, 21, 0, tzinfo=UTC)


def answered(did: str, tank: str) -> Callable[[], object]:
    """The answer of a process that has the room at hand: taken as it happened, then the acts."""
    facts, entries = load(), tuple(demo_logbook(NOW, load()))
    border = Border(room=replay(entries), facts=facts, now=NOW, entries=entries)

    def answer() -> object:
        said = slips_told(did, border.room, tank, NOW, "UTC", facts)
        made = as_if(border, tank, said)
        every = (*entries, *made.entries)
        return what_now_in(made.room, made.tank, made.slips, NOW, "UTC", facts, entries=every)

    return answer


@within(seconds=1.0)
def bench_what_now_overdose() -> Callable[[], object]:
    """Ten times the dose: its series of changes."""
    return answered("dosed ten times", "T2")


@within(seconds=1.0)
def bench_what_now_carbon() -> Callable[[], object]:
    """Carbon left in: what to put back, both ends."""
    return answered("carbon left in", "T9")


@within(seconds=1.0)
def bench_what_now_power() -> Callable[[], object]:
    """A power cut: hours of oxygen of this tank."""
    return answered("power cut", "T7")


def bench_which_tank_first() -> Callable[[], object]:
    """The same of every tank of the room: no page waits for it, so nothing is promised."""
    facts, room = load(), replay(demo_logbook(NOW, load()))
    return lambda: which_first(room, NOW, facts)
