"""Where things stand on paper of one width, and words that do not run into each other."""

from __future__ import annotations

import msgspec

from ..drawings.svg import words
from .records import Chart

LETTER_PX = 8.0  # mean width of a letter at 15 px, bold figures included


class Paper(msgspec.Struct, frozen=True, kw_only=True):
    """One width: by thumb heads stand over their strips, on a wide sheet beside them."""

    width: float
    left: float
    right: float
    hours: float

    @property
    def wide(self) -> bool:
        return self.width >= 800

    def x(self, hour: float) -> float:
        return self.left + (self.right - self.left) * hour / self.hours


def paper_of(chart: Chart, width: float, widest_tick: int) -> Paper:
    """The plot between the longest tick and, on a wide sheet, the words of the limits."""
    wide = width >= 800
    return Paper(
        width=width,
        left=230.0 if wide else 14.0 + LETTER_PX * widest_tick,
        right=width - 160.0 if wide else width - 2.0,
        hours=float(chart.hours[-1]) or 1.0,
    )


def text_px(text: str) -> float:
    """About how wide a text is at 15 px."""
    return LETTER_PX * len(text)


class Lane:
    """Words on one line, placed until the line is full; a word that does not fit is left to the table."""

    def __init__(self, left: float, right: float) -> None:
        self.left, self.right = left, right
        self.taken: list[tuple[float, float]] = []

    def place(self, centre: float, text: str) -> float | None:
        """Where the middle of the text goes, or None where there is no room."""
        half = text_px(text) / 2
        x = min(max(centre, self.left + half), self.right - half)
        if any(x - half < b and x + half > a for a, b in self.taken):
            return None
        self.taken.append((x - half - 6, x + half + 6))
        return x


def said(x: float, y: float, text: str, class_: str, anchor: str = "") -> str:
    """Words on a halo of paper."""
    return words(x, y, text, f"halo {class_}", anchor)


def level_text(value: float) -> str:
    """A tick: no digit more than it needs."""
    return f"{value:.6g}"
