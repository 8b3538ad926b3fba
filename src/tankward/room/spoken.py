"""Animals as a person names them: "18 cherry_barb 3.5cm; 30 cherry shrimp; 12 platies 3 cm female"."""

from __future__ import annotations

import re

from tankward.knowledge.find import find_animal
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import NUMBER, Estimate, Quantity, Taste, quantity

from .things import Stock

EXAMPLE = "18 cherry_barb 3.5cm; 30 cherry_shrimp"
STAGES = ("fry", "juvenile", "adult", "egg")
SEXES = ("male", "female", "mixed")
MARKS = {word: word for word in (*STAGES, *SEXES, "gravid")} | {
    f"{word}s": word for word in ("male", "female", "juvenile", "adult", "egg")
}
PARTS = re.compile(r";|,(?=\s*(?:about |~)?\d+\s+(?!(?:cm|mm|in)\b)\D)")  # "3,5 cm" stays one number
ONE = re.compile(
    rf"(?P<number>(?:about |around |~\s*)?{NUMBER}(?:\s*(?:to|-|–)\s*{NUMBER})?)\s*x?\s+"
    rf"(?P<name>[^\d(]+?)\s*(?P<length>{NUMBER}(?:\s*(?:to|-|–)\s*{NUMBER})?\s*(?:cm|mm|in(?:ch(?:es)?)?|\"))?"
    r"(?P<rest>(?:\s+[a-z]+)*)",
    re.IGNORECASE,
)


def animals_said(
    text: str, facts: Facts, tank: str = "", field: str = "animals", taste: Taste | None = None
) -> list[Stock]:
    """One group for each part between ; (or a comma before a number).

    Raises
    ------
    BadInput
        If a part has no number or names no animal, or one that is not known.
    """
    parts = [p.strip() for p in PARTS.split(text) if p.strip()]
    if not parts:
        raise BadInput(field, text, f"names no animal. Write {EXAMPLE}.")
    return [_group(part, i, facts, tank, field, taste) for i, part in enumerate(parts)]


def _group(part: str, i: int, facts: Facts, tank: str, field: str, taste: Taste | None) -> Stock:
    found = ONE.fullmatch(part)
    if found is None:
        raise BadInput(field, part, f"is not a number of animals. Write {EXAMPLE}.")
    name, marks = _marks(f"{found['name']} {found['rest'] or ''}")
    number = _number(quantity(found["number"], "number", field, taste), part, field)
    return Stock(
        id=f"{tank or 'said'}-{i + 1}",
        tank=tank,
        kind=find_animal(facts, name),
        name=name,
        number=number,
        length_cm=quantity(found["length"], "length", field, taste).estimate if found["length"] else None,
        stage=next((m for m in marks if m in STAGES), "adult"),
        sex=next((m for m in marks if m in SEXES), ""),
        gravid=True if "gravid" in marks else None,
    )


def _number(found: Quantity, part: str, field: str) -> Estimate:
    if found.low <= 0:
        raise BadInput(field, part, "can't be right: there must be at least one animal.")
    return found.estimate


def _marks(words: str) -> tuple[str, set[str]]:
    """The name, and the words beside it that tell stage or sex."""
    parts = [(word, MARKS.get(word.lower())) for word in words.split()]
    return " ".join(w for w, mark in parts if mark is None), {mark for _, mark in parts if mark is not None}
