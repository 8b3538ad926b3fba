"""Which of the fixed draws each number of an organism takes."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from zlib import crc32

from tankward.model.draws import swept, uniform
from tankward.model.rows import Array

BORROWED = "substance_4_"  # a name that is not in the list takes one of these, turned
PARTS = ("dark", "light", "filter", "carbon", "theta", "filter_effect", "plant_effect", "oxygen")


@cache
def kept() -> dict[str, tuple[str, int]]:
    """Name -> column and turn."""
    text = (files("tankward.model.lives") / "columns.txt").read_text()
    rows = [line.split() for line in text.splitlines() if line and not line.startswith("#")]
    return {name: (column, int(turn)) for name, column, turn in rows}


def shares(name: str, draws: int) -> Array:
    """One number between 0 and 1 for each draw. A name of a new file has its place by its letters."""
    told = swept(name, draws)
    if told is not None:
        return told
    if name in kept():
        column, turn = kept()[name]
        return uniform(column, draws, turn=turn)
    place = crc32(name.encode())
    return uniform(BORROWED + PARTS[place % len(PARTS)], draws, turn=3 + place // len(PARTS) % 61)
