"""Chances as classes of words. The words themselves are made where they are shown."""

from __future__ import annotations

# Bounds of EFSA's scale of 2018 with neighbouring steps joined (status memory); upper bound, class.
CLASSES = (
    (0.05, "extremely unlikely"),
    (0.33, "unlikely"),
    (0.66, "about as likely as not"),
    (0.95, "likely"),
    (0.99, "extremely likely"),
    (1.01, "almost certain"),
)


def word_of(chance: float) -> str:
    """Class of a chance, 0 to 1."""
    return next(word for bound, word in CLASSES if chance < bound)
