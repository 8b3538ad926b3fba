"""Corrections: nothing is removed; a correction points at what it replaces, an undo at what it takes back."""

from __future__ import annotations

from typing import Annotated

from .base import Entry, Question


class Undone(Entry, frozen=True, tag="undone"):
    """An entry taken back."""

    entry: Annotated[str, Question("Which entry?", "entry")]


class Corrected(Entry, frozen=True, tag="corrected"):
    """An entry replaced by another. It holds once the other is there; undone, the first stands again."""

    entry: Annotated[str, Question("Which entry?", "entry")]
    by: Annotated[str, Question("By which?", "entry")]
