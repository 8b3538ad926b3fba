"""A new tank as it is typed: three steps whose answers travel in the address until they are kept."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

import msgspec

from tankward.desk.border import Border, Written
from tankward.desk.described import Grouped, described, tank_of
from tankward.desk.several import new_name
from tankward.quantities.faults import BadInput, BadInputs
from tankward.quantities.working import Answer
from tankward.room.holds import water_of
from tankward.room.things import Tank

SIZES = ("length", "width", "fill")
LENGTHS = (*SIZES, "height")
UNITS = {"cm": "cm", "in": "in"}
GLASS = {"cm": "mm", "in": "in"}
GROUP = re.compile(r"(number|kind|long)-(\d{1,2})")
MOST_GROUPS = 12
FIELDS = {"length": "long"}  # of a group, whose fields stand beside those of the tank
# What the steps ask for beside sizes and animals, and the border reads.
PLAIN = ("name", "volume", "filter", "shelf", "heater")
OWN = frozenset(
    {"unit", "step", "seen", "go", "rows", "degrees", "then", "full", "glass", "temp", *LENGTHS, *PLAIN}
)


class Typed(msgspec.Struct, frozen=True, kw_only=True):
    """What was typed so far, as it was typed."""

    texts: Mapping[str, str]

    def get(self, name: str, otherwise: str = "") -> str:
        return self.texts.get(name, otherwise).strip()

    @property
    def unit(self) -> str:
        return UNITS.get(self.get("unit"), "cm")

    @property
    def signature(self) -> str:
        """The sizes as they stand: what was shown must be what is kept."""
        return "|".join(self.get(k) for k in (*SIZES, "unit", "glass", "volume"))

    @property
    def sized(self) -> bool:
        return bool(self.get("volume")) or all(self.get(k) for k in SIZES)

    @property
    def rows(self) -> int:
        """How many groups of animals have a row."""
        numbers = [int(m[2]) for name, text in self.texts.items() if text and (m := GROUP.fullmatch(name))]
        asked = int(self.get("rows", "1")) if self.get("rows", "1").isdigit() else 1
        return min(max([asked, *numbers, 1]), MOST_GROUPS)


def with_unit(text: str, unit: str) -> str:
    """A bare number with the unit that was chosen for it; what names a unit keeps it."""
    return f"{text} {unit}" if text and re.fullmatch(r"[\d.,/\s]+", text) else text


def tank_texts(typed: Typed) -> dict[str, str]:
    """The tank's fields as the border reads them."""
    texts = {k: with_unit(typed.get(k), typed.unit) for k in LENGTHS}
    texts["glass"] = with_unit(typed.get("glass"), GLASS[typed.unit])
    texts["temp"] = with_unit(typed.get("temp"), typed.get("degrees") or "C")
    texts |= {k: typed.get(k) for k in PLAIN}
    # What only the full form asks for comes as it is.
    texts |= {k: v.strip() for k, v in typed.texts.items() if k not in OWN and not GROUP.fullmatch(k)}
    return {k: v for k, v in texts.items() if v}


def group_texts(typed: Typed) -> list[tuple[int, dict[str, str]]]:
    """Groups of animals with the number of their row; a row without a kind and a number is none."""
    found = []
    for row in range(1, typed.rows + 1):
        told = {
            "number": typed.get(f"number-{row}"),
            "kind": typed.get(f"kind-{row}"),
            "length": with_unit(typed.get(f"long-{row}"), typed.unit),
        }
        if told["number"] or told["kind"]:
            found.append((row, {k: v for k, v in told.items() if v or k == "kind"}))
    return found


class Read(msgspec.Struct, frozen=True, kw_only=True):
    """What was typed, as it was understood."""

    written: Written | None
    tank: Tank | None
    water: Answer | None
    faults: dict[str, str]  # by the name of the field

    @property
    def litres(self) -> str:
        return self.water.shown if self.water and self.water.value is not None else ""


def read(typed: Typed, border: Border, *, animals: bool = True) -> Read:
    """The entries of what was typed, or the fault of each field."""
    texts = tank_texts(typed)
    if "name" not in typed.texts:
        texts["name"] = new_name(border.room)
    groups = group_texts(typed) if animals else []
    try:
        written = described(border, texts, [told for _, told in groups])
    except BadInput as fault:
        return Read(written=None, tank=None, water=None, faults=_beside(fault, [row for row, _ in groups]))
    tank = tank_of(written).thing
    return Read(written=written, tank=tank, water=water_of(tank), faults={})


def _beside(fault: BadInput, rows: Sequence[int]) -> dict[str, str]:
    """Each fault by the field that it is about."""
    told = fault.faults if isinstance(fault, BadInputs) else (fault,)
    found: dict[str, str] = {}
    for one in told:
        name = one.field
        if isinstance(one, Grouped):
            name = f"{FIELDS.get(one.field, one.field)}-{rows[one.group]}"
        found.setdefault(name, str(one))
    return found
