"""One line about animals or water, read into things: for answers that need no room."""

from __future__ import annotations

import re

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import NUMBER, Estimate, Taste, is_unknown, quantity
from tankward.room.lists import words
from tankward.room.readings import readings_in
from tankward.room.replay import Room
from tankward.room.spoken import MARKS, SEXES, STAGES
from tankward.room.things import Reading, Stock

from .names import DeskNames

GROUP = re.compile(
    rf"(?P<about>about |~)?(?P<number>{NUMBER})?\s*x?\s*(?P<kind>.*?)"
    rf"(?:\s+(?P<length>{NUMBER}\s*(?:cm|mm|in)))?$",
    re.IGNORECASE,
)


def animals(text: str, facts: Facts, taste: Taste | None = None) -> list[Stock]:
    """ "18 cherry_barb 3.5cm; 30 cherry_shrimp; fry": groups as they stand in one line.

    Raises
    ------
    BadInput
        For a kind that is not known; it names the kind and what comes close.
    """
    told = [part for part in words(text) if not is_unknown(part)]
    return [_group(part, n, facts, taste or Taste()) for n, part in enumerate(told)]


def _group(part: str, index: int, facts: Facts, taste: Taste) -> Stock:
    m = GROUP.fullmatch(part.strip())
    if not m or not m["kind"].strip():
        raise BadInput("animals", part, "is not a group of animals. Write it like 18 cherry_barb 3.5cm.")
    told = m["kind"].strip()
    name, marks = _marks(told)
    stage = next((m for m in marks if m in STAGES), "")
    number = (
        quantity(f"{m['about'] or ''}{m['number']}", "number", "animals", taste).estimate
        if m["number"]
        else None
    )
    kind = (
        ""
        if name.lower() in ("", "unknown")
        else DeskNames(Room(), facts).resolve("species", name, "animals")
    )
    length = quantity(m["length"], "length", "animals", taste).estimate if m["length"] else None
    return Stock(
        id=f"said-{index}",
        tank="",
        kind=kind,
        name=told.replace("_", " "),
        number=number or Estimate(1.0, 1.0, 100.0),
        length_cm=length,
        stage=stage or "adult",
        sex=next((m for m in marks if m in SEXES), ""),
        gravid=True if "gravid" in marks else None,
    )


def _marks(told: str) -> tuple[str, list[str]]:
    """The name, and the words behind or before it that tell stage or sex."""
    parts = told.split()
    marks = [MARKS[word.lower()] for word in parts if word.lower() in MARKS]
    return " ".join(word for word in parts if word.lower() not in MARKS), marks


def water(text: str, taste: Taste | None = None) -> tuple[Reading, ...]:
    """ "ammonia 0.5 mg/L as N, pH 7.8, 26C" as readings; empty where nothing was said.

    Raises
    ------
    BadInput
        For a part that can't be read.
    """
    return readings_in(text, taste or Taste()) if text.strip() and not is_unknown(text) else ()
