"""Sentences of a search."""

from __future__ import annotations


def found_heading(asked: str, entries: int, things: int) -> str:
    """How much was found."""
    if not asked:
        return "What are you looking for?"
    if not entries and not things:
        return f"Nothing is called “{asked}” here."
    if not entries:
        return "One thing is called so; no entry is." if things == 1 else f"{things} things are called so."
    return entries_found(entries)


def entries_found(count: int) -> str:
    """A number of entries as a sentence."""
    return "1 entry." if count == 1 else f"{count} entries."


def understood(words: str, days: str) -> str:
    """What the search was taken for."""
    about = f"with “{words}”" if words else ""
    when = f"from {days}" if days and " to " in days else f"on {days}" if days else ""
    when = when.replace("on until", "until")
    return f"Looked for entries {' '.join(w for w in (about, when) if w)}." if about or when else ""
