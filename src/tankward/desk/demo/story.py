"""What the files tell, kept by tank: who lived where when, and when a tank was looked at or worked on."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime, timedelta

from tankward.room.entries.base import Entry
from tankward.room.replay import Room, standing


class Story:
    """Entries that are told, oldest first, with what they amount to for each tank."""

    def __init__(self, entries: Iterable[Entry]) -> None:
        self.entries = standing(entries)
        self._of: dict[str, list[Entry]] = defaultdict(list)
        self._lived: dict[str, list[tuple[datetime, bool]]] = defaultdict(list)
        room = Room()
        for entry in self.entries:
            room = entry.effect(room)
            self._of[entry.tank].append(entry)
            for tank in room.tanks:
                there, known = bool(room.stock_of(tank)), self._lived[tank]
                if not known or known[-1][1] != there:
                    known.append((entry.at, there))

    def lived(self, tank: str, at: datetime) -> bool:
        """Whether anybody lived in the tank then."""
        return next((there for since, there in reversed(self._lived[tank]) if since <= at), False)

    def near(self, tank: str, at: datetime, span: timedelta, kinds: tuple[type[Entry], ...]) -> bool:
        """Whether something of these kinds is told of the tank within so long before or after."""
        return any(isinstance(e, kinds) and abs(e.at - at) < span for e in self._of[tank])
