"""How much active there is in one unit of a product: "200 mg per sachet", "5 mg/mL", "37 %"."""

from __future__ import annotations

import re

import msgspec

from .faults import BadInput
from .parse import NUMBER, Taste, number, ratio


class Strength(msgspec.Struct, frozen=True):
    """Active per unit of product. `unit` is "mg" or "L" of product, or the name of a piece."""

    active_mg: float
    unit: str
    text: str = ""

    def product(self, active_mg: float) -> float:
        """How much product holds so much active, in `unit`."""
        return active_mg / self.active_mg


def strength(text: str, field: str = "strength", taste: Taste | None = None) -> Strength:
    """ "200 mg/sachet", "2 g per 100 mL", "37 %" (by weight), "1 g/g".

    Raises
    ------
    BadInput
        If no mass of active per unit can be read from it.
    """
    if m := re.fullmatch(rf"({NUMBER})\s*(?:%|per ?cent|percent)(?:\s*(?:w/w|by weight))?", text.strip()):
        share = float(number(m[1], field)) / 100
        if not 0 < share <= 1:
            raise BadInput(field, text, "can't be right: a strength lies over 0 and up to 100 %.")
        return Strength(share, "mg", text)
    read = ratio(text, field, taste)
    if read.unit != "mg":
        raise BadInput(
            field,
            text,
            "does not say how much active. Write 200 mg per sachet, 5 mg/mL or 37 %.",
        )
    return Strength(read.amount / read.per, read.per_unit, text)
