"""Forecasts that nobody waits for: the last one is handed out with its age while a new one is worked out."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from concurrent.futures import Future
from datetime import datetime, timedelta
from functools import partial

import msgspec

from tankward.judge.suspects import suspects
from tankward.knowledge.known import Facts
from tankward.model.forecast import forecast
from tankward.model.result import Forecast
from tankward.quantities.faults import BadInput
from tankward.room.acts import AnyAct
from tankward.room.replay import Room

from .background import Worker
from .desk import Desk
from .running import told

Planned = Sequence[tuple[datetime, AnyAct]]
GOOD_FOR = timedelta(minutes=30)  # after that a forecast is still shown, and made anew


class Held(msgspec.Struct, frozen=True, kw_only=True):
    """What there is of a tank's forecast now."""

    forecast: Forecast | None
    fresh: bool  # it rests on everything that is written down
    fault: str = ""  # why there is none, where it could not be worked out


class Forecasts:
    """One room's forecasts, kept by what they rest on."""

    def __init__(self, desk: Desk, facts: Facts) -> None:
        self._desk = desk
        self._facts = facts
        self._lock = threading.Lock()
        self._held: dict[str, tuple[str, Forecast]] = {}
        self._coming: dict[tuple[str, str], Future[None]] = {}
        self._faults: dict[tuple[str, str], str] = {}
        self._worker: Worker[None] = Worker("forecast")

    def of(self, tank: str, now: datetime) -> Held:
        """The last forecast of a tank; a new one is begun where it is out of date."""
        room = self._desk.room()
        key = self._desk.digest + self._facts.digest
        with self._lock:
            held = self._held.get(tank)
            if held is not None and held[0] == key and abs(now - held[1].now) < GOOD_FOR:
                return Held(forecast=held[1], fresh=True)
            if (tank, key) in self._faults:
                return Held(forecast=held[1] if held else None, fresh=False, fault=self._faults[tank, key])
            if (tank, key) not in self._coming:
                self._coming[tank, key] = self._worker.submit(partial(self._make, room, tank, key, now))
            return Held(forecast=held[1] if held else None, fresh=False)

    def _make(self, room: Room, tank: str, key: str, now: datetime) -> None:
        try:
            made = forecast_of(room, tank, now, self._facts)
            with self._lock:
                self._held[tank] = (key, made)
        except BadInput as fault:
            with self._lock:
                self._faults[tank, key] = str(fault)
        finally:
            with self._lock:
                self._coming.pop((tank, key), None)

    def close(self) -> None:
        """No more forecasts; what is being worked out is let go."""
        with self._lock:
            for coming in self._coming.values():
                coming.cancel()
        self._worker.close()


def forecast_of(room: Room, tank: str, now: datetime, facts: Facts, *, days: float = 7) -> Forecast:
    """A tank's forecast with the course that runs and what is suspected there."""
    return forecast(
        room,
        tank,
        now,
        facts=facts,
        days=days,
        planned=planned_of(room, tank, now),
        suspects=suspects(room, tank, now, facts),
    )


def planned_of(room: Room, tank: str, now: datetime) -> list[tuple[datetime, AnyAct]]:
    """The steps of the running course that are still to come."""
    course = room.courses.get(tank)
    left = [s for s in course.steps if s.at > now and not told(room, tank, s.id)] if course else []
    return [(s.at, s.act) for s in left]
