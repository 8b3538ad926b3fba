"""Corrections: nothing is removed; a correction points at what it replaces, an undo at what it takes back."""

from __future__ import annotations

from .base import Entry


class Undone(Entry, frozen=True, tag="undone"):
    """An entry taken back."""

    entry: str


class Corrected(Entry, frozen=True, tag="corrected"):
    """An entry replaced by another."""

    entry: str
    by: str
