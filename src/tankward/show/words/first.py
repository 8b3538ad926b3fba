"""Sentences of a room that is being described: which tank is next, what was understood."""

from __future__ import annotations

from collections.abc import Sequence

from tankward.quantities.digits import shown_range
from tankward.quantities.parse import Estimate
from tankward.room.entries.animals import StockAdded
from tankward.room.entries.base import Entry
from tankward.room.things import Tank

from .acts import listed
from .room import count

ORDINALS = (
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh",
    "twelfth",
)  # fmt: skip
EMPTY_HEAD = "No tank yet."
EMPTY_SAYS = "Three lengths and who lives there: two minutes. A fish that looks wrong need not wait for it."


def size_heading(tanks: int) -> str:
    """How big is the second one?"""
    return f"How big is the {ORDINALS[tanks]} one?" if tanks < len(ORDINALS) else "How big is the next one?"


def next_words(litres: str) -> str:
    """What was understood, and what comes next: "32 L. Next: who lives there"."""
    return f"{litres}. Next: who lives there" if litres else "How much does it hold?"


def add_words(name: str, litres: str, entries: Sequence[Entry]) -> str:
    """The button that keeps it all: "Add T2: 32 L, 14 dwarf rainbowfish"."""
    told = [litres] if litres else []
    told += [_who(e.thing.number, e.thing.name) for e in entries if isinstance(e, StockAdded)]
    return f"Add {name}: {', '.join(told)}" if told else f"Add {name}"


def _who(number: Estimate, name: str) -> str:
    return f"{count(number)} {name}"


def alike_words(names: Sequence[str]) -> str:
    """Add T4 to T13."""
    return f"Add {names[0]}" if len(names) == 1 else f"Add {names[0]} to {names[-1]}"


def list_heading(tanks: int, wrong: int) -> str:
    """What a pasted list amounts to."""
    if wrong:
        return "One line is not understood yet." if wrong == 1 else f"{wrong} lines are not understood yet."
    return "One tank, as it was understood." if tanks == 1 else f"{tanks} tanks, as they were understood."


def add_list_words(tanks: int) -> str:
    """The button that keeps the list."""
    return "Add this tank" if tanks == 1 else f"Add these {tanks} tanks"


def line_words(litres: str, entries: Sequence[Entry]) -> str:
    """A line as it was understood: "50 L, 14 dwarf rainbowfish"."""
    who = [_who(e.thing.number, e.thing.name) for e in entries if isinstance(e, StockAdded)]
    return f"{litres or 'litres not known'}; {listed(who) if who else 'nobody yet'}"


def line_soft(tank: Tank) -> str:
    """What else a line said of its tank."""
    size = [tank.length_cm, tank.width_cm, tank.fill_cm]
    told = [f"{' x '.join(f'{x:g}' for x in size if x)} cm, to the water line" if all(size) else ""]
    told += [tank.filter and f"{tank.filter} filter", _warmth(tank), tank.shelf]
    return ", ".join(t for t in told if t)


def _warmth(tank: Tank) -> str:
    return shown_range(tank.temp_c.low, tank.temp_c.high, "C") if tank.temp_c else ""
