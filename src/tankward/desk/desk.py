"""A room on the desk: opened, replayed, kept in step with its folder, added to."""

from __future__ import annotations

import hashlib
import threading
from collections.abc import Collection, Iterable
from pathlib import Path

from tankward.quantities.parse import Taste
from tankward.room.entries.base import Entry
from tankward.room.replay import Room, replay
from tankward.store.photos import Picture
from tankward.store.store import Store

from .folder import data_folder


class Desk:
    """One folder's room. Other programs may write to the same folder; every look takes in what they wrote."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self._lock = threading.RLock()
        self._seq = -1  # the last entry taken in
        self._generation = 0
        self._entries: dict[str, Entry] = {}
        self._room = Room()

    @classmethod
    def open(cls, folder: str | Path | None = None, *, make: bool = False) -> Desk:
        """The room in a folder. With `make` the folder is made and tried now, else at the first entry.

        Raises
        ------
        StoreFault
            If `make` is asked for and the folder can't be made or written.
        """
        store = Store(data_folder(folder))
        if make:
            store.make()
        return cls(store)

    @property
    def folder(self) -> Path:
        return self.store.folder

    @property
    def read_only(self) -> str:
        """Why nothing can be written here; "" if it can."""
        return self.store.read_only

    def room(self) -> Room:
        """The room as its logbook stands now."""
        with self._lock:
            self._take_in()
            return self._room

    def entries(self) -> list[Entry]:
        """Every entry ever kept, also those taken back, oldest first."""
        with self._lock:
            self._take_in()
            return sorted(self._entries.values(), key=lambda e: (e.at, e.id))

    def append(
        self, *entries: Entry, pictures: Iterable[Picture] = (), absent: Collection[str] = ()
    ) -> list[str]:
        """Keep entries with the pictures of their photos, all or none; the ids that were new.

        Raises
        ------
        StoreFault
            If they can't be written; then nothing was.
        """
        return self.store.append(entries, pictures, absent=absent)

    @property
    def taste(self) -> Taste:
        """What the keeper has said about units."""
        return self.room().kit.taste

    @property
    def digest(self) -> str:
        """A short text that is the same only for the same entries."""
        with self._lock:
            self._take_in()
            return digest_of(self._entries)

    def close(self) -> None:
        self.store.close()

    def __enter__(self) -> Desk:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _take_in(self) -> None:
        generation = self.store.generation()
        if generation != self._generation:
            # A copy was put back, here or by another program: what was read before is another logbook.
            self._generation, self._seq, self._entries = generation, -1, {}
        last, new = self.store.since(max(self._seq, 0))
        if new or self._seq < 0:
            self._entries.update((entry.id, entry) for entry in new)
            self._room = replay(self._entries.values())
        self._seq = last


def digest_of(ids: Iterable[str]) -> str:
    """Entries never change, so their ids tell them apart from any other set."""
    return hashlib.blake2b("\n".join(sorted(ids)).encode(), digest_size=12).hexdigest()
