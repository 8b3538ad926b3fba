"""The figures of the rules by which a fact becomes a parameter: they stand in facts/model/conversion.toml."""

from __future__ import annotations

from tankward.knowledge.loader import load


def figure(name: str) -> float:
    """A rule's single figure, in the unit of its row."""
    return load().conversion[name].low


def span(name: str) -> tuple[float, float]:
    """A rule's range, in the unit of its row."""
    row = load().conversion[name]
    return row.low, row.high
