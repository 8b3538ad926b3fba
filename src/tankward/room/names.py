"""What a name means here. By itself a name is its own id; a desk finds by plain words in facts and room."""

from __future__ import annotations

import re
import unicodedata

from tankward.quantities.parse import NUMBER, number

AGO = re.compile(rf"(.+?)\s+({NUMBER})\s*(hour|day|week)s? ago", re.IGNORECASE)
DAYS = {"hour": 1 / 24, "day": 1.0, "week": 7.0}
SEPARATORS = re.compile(r"[^a-z0-9]+")


class Names:
    """Takes every word for the id that it looks like."""

    def resolve(self, what: str, word: str, field: str) -> str:
        """The id that a word means; `what` is what is asked for, like species or tank."""
        return word if what in ("tank", "stock", "supply", "entry") else ident(word)

    def happened(self, text: str, field: str) -> tuple[str, float | None]:
        """What happened, and how many days ago; None: when is not known."""
        m = AGO.fullmatch(text)
        days = None if not m else float(number(m[2], field)) * DAYS[m[3].lower()]
        return self.resolve("context", m[1] if m else text, field), days


def ident(text: str) -> str:
    """ "Cherry shrimp" as the facts would call it: cherry_shrimp."""
    return _plain(text, "_")


def slug(text: str) -> str:
    """A name as an id that can stand in an address: "T 7, left" is t-7-left."""
    return _plain(text, "-") or "x" + "".join(f"{ord(sign):x}" for sign in text)[:24]


def _plain(text: str, between: str) -> str:
    letters = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    return SEPARATORS.sub(between, letters).strip(between)
