"""What the files tell: how the room stood at a moment, when a tank was looked at or worked on."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime, timedelta

from tankward.room.entries.base import Entry
from tankward.room.replay import Room, standing


class Story:
    """Entries that are told, oldest first, with the room after each."""

    def __init__(self, entries: Iterable[Entry]) -> None:
        self.entries = standing(entries)
        self._of: dict[str, list[Entry]] = defaultdict(list)
        self._rooms = [Room()]
        for entry in self.entries:
            self._rooms.append(entry.effect(self._rooms[-1]))
            self._of[entry.tank].append(entry)
        self._times = [e.at for e in self.entries]

    def room(self, at: datetime) -> Room:
        """The room as it stood then."""
        return self._rooms[bisect_right(self._times, at)]

    def lived(self, tank: str, at: datetime) -> bool:
        """Whether anybody lived in the tank then."""
        return bool(self.room(at).stock_of(tank))

    def near(self, tank: str, at: datetime, span: timedelta, kinds: tuple[type[Entry], ...]) -> bool:
        """Whether something of these kinds is told of the tank within so long before or after."""
        return any(isinstance(e, kinds) and abs(e.at - at) < span for e in self._of[tank])
