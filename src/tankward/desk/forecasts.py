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
from tankward.treat.mend.shifted import shifted

from .background import Worker
from .desk import Desk
from .running import told

Planned = Sequence[tuple[datetime, AnyAct]]
GOOD_FOR = timedelta(minutes=30)  # after that a forecast is still shown, and made anew


class Reach(msgspec.Struct, frozen=True, kw_only=True):
    """How far a forecast looks ahead, and with how many draws."""

    days: float
    draws: int


NEAR = Reach(days=7.0, draws=256)
FAR = Reach(days=28.0, draws=128)  # of what is suspected: so many draws are followed of an organism anyway


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
        self._held: dict[tuple[str, Reach], tuple[str, Forecast]] = {}
        self._coming: dict[tuple[str, Reach, str], Future[None]] = {}
        self._faults: dict[tuple[str, Reach, str], str] = {}
        self._worker: Worker[None] = Worker("forecast")

    def of(self, tank: str, now: datetime, reach: Reach = NEAR) -> Held:
        """The last forecast of a tank; a new one is begun where it is out of date."""
        room = self._desk.room()
        key = self._desk.digest + self._facts.digest
        with self._lock:
            held = self._held.get((tank, reach))
            if held is not None and held[0] == key and abs(now - held[1].now) < GOOD_FOR:
                return Held(forecast=held[1], fresh=True)
            last, asked = held[1] if held else None, (tank, reach, key)
            if asked in self._faults:
                return Held(forecast=last, fresh=False, fault=self._faults[asked])
            if asked not in self._coming:
                self._coming[asked] = self._worker.submit(partial(self._make, room, asked, now))
            return Held(forecast=last, fresh=False)

    def far(self, tank: str, now: datetime) -> Held:
        """As far as the last day for which it is told how likely what is suspected is gone.

        Where nothing is suspected it is the near one: nobody looks that far at water.
        """
        near = self.of(tank, now)
        if not near.fresh or near.forecast is None or not near.forecast.outlooks:
            return near
        far = self.of(tank, now, FAR)
        return far if far.forecast is not None else msgspec.structs.replace(near, fresh=False)

    def _make(self, room: Room, asked: tuple[str, Reach, str], now: datetime) -> None:
        tank, reach, key = asked
        try:
            made = forecast_of(room, tank, now, self._facts, days=reach.days, draws=reach.draws)
            with self._lock:
                self._held[tank, reach] = (key, made)
        except BadInput as fault:
            with self._lock:
                self._faults[asked] = str(fault)
        finally:
            with self._lock:
                self._coming.pop(asked, None)

    def close(self) -> None:
        """No more forecasts; what is being worked out is let go."""
        with self._lock:
            for coming in self._coming.values():
                coming.cancel()
        self._worker.close()


def forecast_of(
    room: Room, tank: str, now: datetime, facts: Facts, *, days: float = NEAR.days, draws: int = NEAR.draws
) -> Forecast:
    """A tank's forecast with the course that runs and what is suspected there."""
    return forecast(
        room,
        tank,
        now,
        facts=facts,
        days=days,
        draws=draws,
        planned=planned_of(room, tank, now, facts),
        suspects=suspects(room, tank, now, facts),
    )


def planned_of(room: Room, tank: str, now: datetime, facts: Facts) -> list[tuple[datetime, AnyAct]]:
    """The steps of the running course that are still to come in the tank's own water."""
    left = [s for s in shifted(room, tank, facts).steps if s.at > now and not told(room, tank, s.id)]
    return [(s.at, s.act) for s in left if not s.tub]
