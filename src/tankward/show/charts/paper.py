"""Where things stand on paper of one width, and words that do not run into each other."""

from __future__ import annotations

import msgspec

from ..drawings.svg import words
from .records import Chart, Strip

LETTER_PX = 8.0  # mean width of a letter at 15 px in the page's face, bold figures included
PRINT_LETTER_PX = 8.7  # and in the face that is shipped for paper
WIDE_PX = 660.0  # from here on heads stand beside their strips


class Paper(msgspec.Struct, frozen=True, kw_only=True):
    """One width: by thumb heads stand over their strips, on a wide sheet beside them."""

    width: float
    left: float
    right: float
    hours: float
    letter: float = LETTER_PX

    @property
    def wide(self) -> bool:
        return self.width >= WIDE_PX

    def text_px(self, text: str) -> float:
        """About how wide a text is at 15 px."""
        return self.letter * len(text)

    def x(self, hour: float) -> float:
        return self.left + (self.right - self.left) * hour / self.hours


def paper_of(chart: Chart, width: float, widest_tick: int, *, standalone: bool = False) -> Paper:
    """The plot between the longest tick and, on a wide sheet, heads at the left and words at the right."""
    letter = PRINT_LETTER_PX if standalone else LETTER_PX
    tick = letter * widest_tick
    wide = width >= WIDE_PX
    heads = max((len(t) for strip in chart.strips for t in (strip.name, second_line(strip))), default=0)
    ends = max((len(t) for strip in chart.strips for t in _words_at_the_end(strip)), default=0)
    return Paper(
        width=width,
        left=max(150.0, letter * heads + tick + 28.0) if wide else tick + 14.0,
        right=width - letter * ends - 22.0 if wide else width - 2.0,
        hours=float(chart.hours[-1]) or 1.0,
        letter=letter,
    )


def second_line(strip: Strip) -> str:
    """Under the name: what kind of number, and its unit."""
    return ", ".join(part for part in (strip.kind, strip.unit) if part)


def _words_at_the_end(strip: Strip) -> list[str]:
    works = [strip.works.words, strip.works.note] if strip.works else []
    return [limit.words for limit in strip.limits if limit.level is not None] + works


class Lane:
    """Words on one line, placed until the line is full; a word that does not fit is left to the table."""

    def __init__(self, paper: Paper, left: float, right: float) -> None:
        self.paper, self.left, self.right = paper, left, right
        self.taken: list[tuple[float, float]] = []

    def place(self, centre: float, text: str) -> float | None:
        """Where the middle of the text goes, or None where there is no room."""
        half = self.paper.text_px(text) / 2
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
