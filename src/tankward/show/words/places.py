"""Where an organism sits and how many there are, with no figure that nobody could count."""

from __future__ import annotations

from tankward.model.result import Series

PLACES = {
    "on fish": ("On the fish", "a fish"),
    "in fish": ("In the fish", "a fish"),
    "water": ("Free in the water", "a litre"),
    "surfaces": ("On floor and glass", "for each litre"),
    "carriers": ("In small crustaceans", "for each litre"),
}
ILL = {"on fish": "Ill on the skin", "in fish": "Ill within"}
OF_FISH = "of 100 fish"
FEW = 0.1  # under one animal on ten fish a figure says no more than that
COUNTS = 3.0  # from here on in whole ones


def place_words(s: Series) -> tuple[str, str]:
    """What a place is called, and of what its numbers are."""
    return (ILL[s.where], OF_FISH) if s.unit == "1" else PLACES[s.where]


def few_said(value: float) -> str:
    """How many, with no figure that nobody could count."""
    if value < FEW:
        return "0" if value < FEW / 10 else f"under {FEW:g}"
    return f"{value:.1f}".removesuffix(".0") if value < COUNTS else f"{value:.0f}"


def span_said(low: float, high: float) -> str:
    """ "3 to 40"."""
    ends = list(dict.fromkeys((few_said(low), few_said(high))))
    return " to ".join(ends)
