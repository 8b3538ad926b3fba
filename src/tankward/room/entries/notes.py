"""Notes: what has no kind of its own."""

from __future__ import annotations

from typing import Annotated

from .base import Entry, Question


class Note(Entry, frozen=True, tag="note"):
    """A note."""

    text: Annotated[str, Question("What do you want to note?", "long_text")]
