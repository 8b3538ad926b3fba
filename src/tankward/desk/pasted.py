"""A whole room from a pasted list: one tank a line, its parts in any order behind its name."""

from __future__ import annotations

import re

import msgspec

from tankward.quantities.faults import BadInput, BadInputs
from tankward.quantities.parse import NUMBER
from tankward.room.entries.base import Entry
from tankward.room.entries.tanks import TankAdded
from tankward.room.lists import words
from tankward.room.things import Tank

from .border import Border
from .described import described
from .several import after

MOST = 200  # lines in one list
TAB = re.compile(r"\s*\t\s*")
FILTERS = ("sponge", "box", "canister", "internal", "none")
SIZE = re.compile(
    rf"({NUMBER})\s*([a-z\"']*)\s*[x×*]\s*({NUMBER})\s*([a-z\"']*)\s*[x×*]\s*({NUMBER})\s*([a-z\"']*)",
    re.IGNORECASE,
)
VOLUME = re.compile(
    rf"(?:about |~)?{NUMBER}\s*(?:l|litres?|liters?|ml|(?:us|uk|imp)?\.?\s*gal(?:lons?)?)", re.IGNORECASE
)
WARMTH = re.compile(rf"{NUMBER}(?:\s*(?:to|-|–)\s*{NUMBER})?\s*(?:°\s*)?[cf]", re.IGNORECASE)
SHELF = re.compile(r"(?:row|shelf|rack|stand)\b.*", re.IGNORECASE)
FILTER = re.compile(rf"({'|'.join(FILTERS)}|no)(?:\s+filter)?", re.IGNORECASE)
EMPTY = re.compile(r"empty|nobody|no fish", re.IGNORECASE)
LENGTH = re.compile(
    rf"(.+?)\s+({NUMBER}(?:\s*(?:to|-|–)\s*{NUMBER})?\s*(?:cm|mm|in(?:ch(?:es)?)?|\"))", re.IGNORECASE
)
STAGES = {"fry": "fry", "juvenile": "juvenile", "juveniles": "juvenile", "eggs": "egg"}
EXAMPLE = "T1, 60x30x28 cm, 14 dwarf rainbowfish 4 cm, sponge, 25C"


class Line(msgspec.Struct, frozen=True, kw_only=True):
    """One line as it was understood. With faults it has no entries."""

    number: int
    text: str
    entries: tuple[Entry, ...] = ()
    faults: tuple[BadInput, ...] = ()

    @property
    def tank(self) -> Tank | None:
        first = self.entries[0] if self.entries else None
        return first.thing if isinstance(first, TankAdded) else None


class Pasted(msgspec.Struct, frozen=True, kw_only=True):
    """The list line by line."""

    lines: tuple[Line, ...]

    @property
    def whole(self) -> bool:
        """Whether every line was understood, so that it can be kept."""
        return bool(self.lines) and not any(line.faults for line in self.lines)

    @property
    def entries(self) -> tuple[Entry, ...]:
        return tuple(e for line in self.lines for e in line.entries)


def pasted(border: Border, text: str) -> Pasted:
    """The tanks of a list, each with its faults beside it; nothing is kept by this.

    Parameters
    ----------
    border : Border
        The room as it is; a tank of the list may not be called like one of it.
    text : str
        One tank a line: its name first, then litres or length x width x water height, who lives there,
        filter, warmth and shelf, parted by commas, semicolons or tabs.

    Raises
    ------
    BadInput
        If there are too many lines.
    """
    told = [(n, line.strip()) for n, line in enumerate(text.splitlines(), 1) if line.strip()]
    if len(told) > MOST:
        raise BadInput("list", f"{len(told)} lines", f"is too long. Paste {MOST} tanks at a time.")
    lines = []
    for number, line in told:
        found = _line(border, number, line)
        border = after(border, found.entries)
        lines.append(found)
    return Pasted(lines=tuple(lines))


def _line(border: Border, number: int, line: str) -> Line:
    name, rest = re.split(r"[,;]", f"{re.sub(TAB, ';', line)};", maxsplit=1)
    try:
        texts, groups = _parts(rest)
        written = described(border, {"name": name.strip(), **texts}, groups)
    except BadInput as fault:
        told = fault.faults if isinstance(fault, BadInputs) else (fault,)
        return Line(number=number, text=line, faults=tuple(told))
    return Line(number=number, text=line, entries=written.entries)


def _parts(rest: str) -> tuple[dict[str, str], list[dict[str, str]]]:
    """The tank's fields and its groups, each part known by its form."""
    texts: dict[str, str] = {}
    groups: list[dict[str, str]] = []
    for part in words(rest):
        found = _field(part)
        if found is None:
            groups += [] if EMPTY.fullmatch(part) else [_group(part)]
        elif twice := set(found) & set(texts):
            raise BadInput(twice.pop(), part, "is told twice in this line. Write it once.")
        else:
            texts |= found
    return texts, groups


def _field(part: str) -> dict[str, str] | None:
    if m := SIZE.fullmatch(part):
        return _size(m, part)
    if VOLUME.fullmatch(part):
        return {"volume": part}
    if WARMTH.fullmatch(part):
        return {"temp": part}
    if SHELF.fullmatch(part):
        return {"shelf": part}
    if m := FILTER.fullmatch(part):
        return {"filter": "none" if m[1].lower() == "no" else m[1].lower()}
    return None


def _size(m: re.Match[str], part: str) -> dict[str, str]:
    """Length, width, water height; the last unit holds for those that have none."""
    unit = m[6]
    if not unit:
        raise BadInput(
            "size", part, "has no unit. Write it like 60x30x28 cm: length, width, height of the water."
        )
    ends = ((m[1], m[2]), (m[3], m[4]), (m[5], unit))
    length, width, fill = (f"{value} {own or unit}" for value, own in ends)
    return {"length": length, "width": width, "fill": fill}


def _group(part: str) -> dict[str, str]:
    """ "14 dwarf rainbowfish 4 cm", "30 cherry shrimp", "moss"."""
    m = LENGTH.fullmatch(part)
    kind, length = (m[1], m[2]) if m else (part, "")
    first, _, last = kind.rpartition(" ")
    stage = STAGES.get(last.lower(), "") if first else ""
    told = {"kind": first if stage else kind, "length": length, "stage": stage}
    return {k: v for k, v in told.items() if v}
