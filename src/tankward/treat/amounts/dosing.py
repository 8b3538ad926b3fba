"""Level, water and mass: each from the other two."""

from __future__ import annotations

from tankward.quantities.digits import shown
from tankward.quantities.strength import Strength
from tankward.quantities.working import Named


def dose_mg(level_mg_l: float, volume_l: float) -> float:
    """Active that makes this level in this much water. [mg]"""
    return level_mg_l * volume_l


def level_mg_l(active_mg: float, volume_l: float) -> float:
    """Level that so much active makes. [mg/L]"""
    return active_mg / volume_l


def pieces(count: float, piece: str) -> str:
    """ "1 sachet", "1.5 sachets": counted things as they are said."""
    number = shown(count)
    if number == "1":
        return f"1 {piece}"
    return f"{number} {piece}{'es' if piece.endswith(('ch', 'sh', 'x', 's')) else 's'}"


def product_shown(amount: float, unit: str) -> str:
    """An amount of product in its own unit ("mg", "L" or a piece)."""
    return shown(amount, unit) if unit in {"mg", "L"} else pieces(amount, unit)


def product_named(name: str, active_mg: float, strength: Strength) -> Named:
    """How much of the product holds so much active, as a number beside the answer."""
    amount = strength.product(active_mg)
    text = product_shown(amount, strength.unit)
    return Named(name=name, value=amount, unit=strength.unit, low=amount, high=amount, shown=text)
