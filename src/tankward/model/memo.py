"""What was worked out before, for whoever runs the same tank many times (`resume.py`, `judging.py`)."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any, TypeVar

T = TypeVar("T")
ROOM = 100_000  # things of each kind × draws: some tens of megabytes


class Memo:
    """By kind and key, of so many draws. Threads share it: what stands in it never changes."""

    def __init__(self, draws: int = 1024) -> None:
        self._kept: dict[str, dict[Hashable, Any]] = {}
        self._most = ROOM // draws

    def get(self, kind: str, key: Hashable) -> Any:
        """What is kept, or None."""
        return self._kept.get(kind, {}).get(key)

    def keep(self, kind: str, key: Hashable, value: Any, most: int | None = None) -> None:
        """One more; when there are too many, all others of its kind go."""
        where = self._kept.setdefault(kind, {})
        if len(where) >= (most or self._most):
            where = self._kept[kind] = {}
        where[key] = value

    def of(self, kind: str, key: Hashable, make: Callable[[], T], most: int | None = None) -> T:
        """What is kept, made where it is not; `most`: so many of a kind of large things."""
        found: T | None = self.get(kind, key)
        if found is None:
            found = make()
            self.keep(kind, key, found, most)
        return found


def once(kept: Memo | None, kind: str, key: Hashable, make: Callable[[], T], most: int | None = None) -> T:
    """From a memo, where there is one."""
    return make() if kept is None else kept.of(kind, key, make, most)
