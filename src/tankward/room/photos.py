"""Which photos an entry has, which pictures must be kept, and which are gone for good."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable

from .entries.base import Entry
from .entries.corrections import Corrected
from .entries.photos import PhotoAdded, PhotoRemoved
from .replay import taken_back

DIGEST = re.compile(r"[0-9a-f]{64}")


def is_digest(text: str) -> bool:
    """Whether a text can be a picture's name; nothing else ever becomes one."""
    return DIGEST.fullmatch(text) is not None


def removed_ids(entries: Iterable[Entry]) -> frozenset[str]:
    """Photos removed for good. An undo of the removal changes nothing: the picture is gone."""
    return frozenset(e.photo for e in entries if isinstance(e, PhotoRemoved))


def pictures_of(entries: Collection[Entry]) -> frozenset[str]:
    """Digests of the pictures that must be kept: of every photo not removed, also of those taken back."""
    removed = removed_ids(entries)
    return frozenset(e.digest for e in entries if isinstance(e, PhotoAdded) and e.id not in removed)


def pictures_gone(entries: Collection[Entry]) -> frozenset[str]:
    """Digests of pictures that were removed for good and that no other photo shows."""
    removed = removed_ids(entries)
    gone = {e.digest for e in entries if isinstance(e, PhotoAdded) and e.id in removed}
    return frozenset(gone - pictures_of(entries))


def photos_of(entries: Collection[Entry]) -> dict[str, tuple[PhotoAdded, ...]]:
    """Entries with their photos that stand, oldest first; a corrected entry's are its successor's.

    A photo that was removed stays in the list: its entry says so.
    """
    gone = taken_back({e.id: e for e in entries})
    newer = {e.entry: e.by for e in entries if isinstance(e, Corrected) and e.id not in gone}
    found: dict[str, tuple[PhotoAdded, ...]] = {}
    for photo in sorted(
        (e for e in entries if isinstance(e, PhotoAdded) and e.id not in gone), key=lambda e: (e.at, e.id)
    ):
        about = newest(photo.about, newer)
        found[about] = (*found.get(about, ()), photo)
    return found


def newest(entry: str, newer: dict[str, str]) -> str:
    """The id of the version that holds, along the corrections."""
    seen = {entry}
    while entry in newer and newer[entry] not in seen:
        entry = newer[entry]
        seen.add(entry)
    return entry
