"""The entries that stand, sorted once by what they are about: whoever asks for one tank reads no other's."""

from __future__ import annotations

from collections.abc import Iterable

from .entries.acts import Done
from .entries.animals import StockAdded
from .entries.base import Entry


class Log(tuple[Entry, ...]):
    """Standing entries, oldest first. What is asked of it twice is looked up the second time."""

    _tanks: dict[str, tuple[Entry, ...]] | None = None
    _groups: dict[str, tuple[Entry, ...]] | None = None

    def of_tank(self, tank: str) -> tuple[Entry, ...]:
        """A tank's entries, oldest first."""
        if self._tanks is None:
            self._tanks = _sorted_by((e.tank, e) for e in self)
        return self._tanks.get(tank, ())

    def of_group(self, stock: str) -> tuple[Entry, ...]:
        """The entries that name a group of animals or plants, oldest first."""
        if self._groups is None:
            self._groups = _sorted_by((group_of(e), e) for e in self)
        return self._groups.get(stock, ())


def group_of(entry: Entry) -> str:
    """Which group an entry names; "" if none."""
    if isinstance(entry, StockAdded):
        return entry.thing.id
    return str(getattr(entry.act if isinstance(entry, Done) else entry, "stock", ""))


def _sorted_by(pairs: Iterable[tuple[str, Entry]]) -> dict[str, tuple[Entry, ...]]:
    found: dict[str, list[Entry]] = {}
    for key, entry in pairs:
        found.setdefault(key, []).append(entry)
    return {key: tuple(entries) for key, entries in found.items()}
