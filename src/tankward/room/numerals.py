"""Numbers with every digit, for lines that must read back the same."""

from __future__ import annotations

from decimal import Decimal


def plain(value: float) -> str:
    """Every digit of a number, without exponent."""
    return format(Decimal(repr(float(value))), "f").removesuffix(".0")
