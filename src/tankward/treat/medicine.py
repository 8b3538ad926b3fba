"""What counts as a medicine here."""

from __future__ import annotations

from tankward.knowledge.known import Facts

NO_MEDICINE = ("water conditioner", "filter medium")


def is_medicine(substance: str, facts: Facts) -> bool:
    """What is put in to act on animals or germs; not what only makes tap water fit."""
    return substance in facts.substances and facts.substances[substance].kind not in NO_MEDICINE
