"""A room opened from Python: its tanks, and what comes in them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from types import TracebackType

from tankward.desk.ahead import asked_forecast
from tankward.desk.desk import Desk
from tankward.desk.find import find_tank
from tankward.knowledge.find import find_one
from tankward.knowledge.loader import load
from tankward.model.run import warm as warm_up
from tankward.quantities.faults import BadInput
from tankward.room.replay import Room, replay
from tankward.room.text import read_logbook

from .forecasts import TankForecast


class OpenRoom:
    """A room to ask. With a folder behind it, each question takes in what was written meanwhile."""

    def __init__(self, room: Room, desk: Desk | None = None) -> None:
        self._room, self._desk = room, desk

    @property
    def tanks(self) -> dict[str, str]:
        """Id -> name, in the order in which they were added."""
        return {tank.id: tank.name for tank in self._now().tanks.values()}

    def forecast(
        self,
        tank: str,
        *,
        now: datetime | None = None,
        days: float | None = None,
        causes: Sequence[str] | None = None,
        draws: int = 256,
    ) -> TankForecast:
        """What comes in a tank, with the course that runs there.

        Parameters
        ----------
        tank : str
            Name or id.
        now : datetime, optional
            With a zone; None: this moment.
        days : float, optional
            How far ahead, up to 60; None: 28 where an organism is followed, else 7. [d]
        causes : sequence of str, optional
            Ids or names, each followed as if it were the one; None: that of the course that runs, else what
            the looks make likely.
        draws : int
            64, 128, 256, 512 or 1024.

        Raises
        ------
        BadInput
            A ValueError that names what was given and what is accepted.
        """
        at = datetime.now().astimezone() if now is None else now
        if at.tzinfo is None:
            raise BadInput("now", at.isoformat(), "has no zone. Give it one, like tzinfo=UTC.")
        room, facts = self._now(), load()
        ids = None if causes is None else [find_one(facts, "cause", c) for c in causes]
        found = find_tank(room, tank).id
        made = asked_forecast(room, found, at, facts, days=days, causes=ids, draws=draws)
        return TankForecast(made.forecast, room.tanks[found].name, facts)

    def close(self) -> None:
        """Let go of the folder."""
        if self._desk is not None:
            self._desk.close()

    def __enter__(self) -> OpenRoom:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def _now(self) -> Room:
        return self._desk.room() if self._desk is not None else self._room


def open_room(folder: str | Path | None = None) -> OpenRoom:
    """The room in a folder; without one the usual data folder. Nothing is written."""
    desk = Desk.open(folder)
    return OpenRoom(desk.room(), desk)


def read_room(logbook: str, *, zone: str = "UTC") -> OpenRoom:
    """A room from a logbook in plain text (docs/logbook_text.md); its clock times are of this zone."""
    return OpenRoom(replay(read_logbook(logbook, zone=zone)))


def warm(*, wait: bool = False) -> None:
    """Load or compile the fast form of the model, beside whatever else goes on; `wait` until it is there."""
    warm_up(wait=wait)
