"""Words as they are looked up: case, hyphens, apostrophes, accents and the plural make no difference."""

from __future__ import annotations

import re
import unicodedata


def plain(words: str) -> str:
    """Lower case, single blanks, no marks; the last word in the singular."""
    bare = unicodedata.normalize("NFKD", words.casefold())
    bare = "".join(c for c in bare if not unicodedata.combining(c))
    bare = re.sub(r"['’`.]", "", bare)
    parts = re.sub(r"[^a-z0-9]+", " ", bare).split()
    return " ".join([*parts[:-1], singular(parts[-1])]) if parts else ""


def singular(word: str) -> str:
    """The word without its plural; words that end so by nature keep it."""
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > 4 and word.endswith(("sses", "shes", "ches", "xes")):
        return word[:-2]
    if len(word) > 3 and word.endswith("s") and not word.endswith(("ss", "us", "is")):
        return word[:-1]
    return word
