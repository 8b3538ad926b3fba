"""What was worked out before, for whoever runs the same tank many times (`resume.py`, `judging.py`)."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any, TypeVar

T = TypeVar("T")
MOST = 400  # of each kind


class Memo:
    """By kind and key. Threads share it: what stands in it never changes."""

    def __init__(self) -> None:
        self._kept: dict[str, dict[Hashable, Any]] = {}

    def get(self, kind: str, key: Hashable) -> Any:
        """What is kept, or None."""
        return self._kept.get(kind, {}).get(key)

    def keep(self, kind: str, key: Hashable, value: Any) -> None:
        """One more; when there are too many, all others of its kind go."""
        where = self._kept.setdefault(kind, {})
        if len(where) >= MOST:
            where = self._kept[kind] = {}
        where[key] = value

    def of(self, kind: str, key: Hashable, make: Callable[[], T]) -> T:
        """What is kept, made where it is not."""
        found: T | None = self.get(kind, key)
        if found is None:
            found = make()
            self.keep(kind, key, found)
        return found


def once(kept: Memo | None, kind: str, key: Hashable, make: Callable[[], T]) -> T:
    """From a memo, where there is one."""
    return make() if kept is None else kept.of(kind, key, make)
