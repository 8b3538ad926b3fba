"""Readings: what was measured in the water."""

from __future__ import annotations

from tankward.room.things import Reading

from .base import Entry


class ReadingTaken(Entry, frozen=True, tag="reading"):
    """The water tested."""

    values: tuple[Reading, ...]
    where: str = "tank"  # tank or tap
