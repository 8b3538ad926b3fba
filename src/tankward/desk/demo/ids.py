"""Ids of the demo's entries, drawn like all else in it: the same demo is written twice alike."""

from __future__ import annotations

import uuid
from datetime import datetime

import numpy as np


class Ids:
    """UUIDs of version 7: the entry's own millisecond, then seeded bits that grow within one instant."""

    def __init__(self, rng: np.random.Generator) -> None:
        self._rng = rng
        self._count = 0

    def at(self, moment: datetime) -> str:
        """The next id for an entry of that moment."""
        self._count += 1
        milliseconds = int(moment.timestamp() * 1000) & ((1 << 48) - 1)
        bits = int(self._rng.integers(0, 1 << 62))
        value = (milliseconds << 80) | (0x7 << 76) | ((self._count & 0xFFF) << 64) | (0b10 << 62) | bits
        return str(uuid.UUID(int=value))
