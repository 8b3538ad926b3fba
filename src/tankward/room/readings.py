"""Readings as a keeper writes them: "0.5 mg/L as NO2" is kept as nitrogen; unsaid as what, it is a range."""

from __future__ import annotations

import re
from collections.abc import Mapping

import msgspec

from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, gathered
from tankward.quantities.parse import NUMBER, Taste, is_unknown, quantity
from tankward.water.atoms import molar_mass

from .entries.water import BY_QUANTITY, MEASURED, Measured
from .names import ident
from .numerals import plain
from .things import Reading


def readings(given: Mapping[str, str], taste: Taste) -> tuple[Reading, ...]:
    """Readings by what was measured: {"ammonia": "0.5 mg/L as N", "ph": "7.8"}.

    Raises
    ------
    BadInput
        For something that isn't measured here, or its value; all of them together.
    """
    found: list[Reading] = []
    faults: list[BadInput] = []
    for word, text in given.items():
        try:
            found += _one(word, text, taste)
        except BadInput as fault:
            faults.append(fault)
    gathered(faults)
    return tuple(found)


def _one(word: str, text: str, taste: Taste) -> tuple[Reading, ...]:
    key = word.lower()
    if key not in MEASURED:
        raise BadInput(word, text, f"is not measured here. Known are {', '.join(MEASURED)}.")
    if is_unknown(text):
        return ()
    value, _, kit = text.partition(" by ")
    found = reading(key, value, taste)
    return (msgspec.structs.replace(found, kit=kit_called(kit, found.quantity, key)) if kit else found,)


def kit_called(word: str, quantity: str, field: str) -> str:
    """The kit that a word means for what was read: "strips", "drops", "ph_meter".

    Raises
    ------
    BadInput
        If no kit for that is called so.
    """
    kits = [k.id for k in load().kits.values() if quantity in k.quantities]
    plainly = ident(word)
    found = [k for k in kits if plainly in (k, k.rpartition("_")[2])]
    if len(found) != 1:
        known = f"Known are {', '.join(kits)}." if kits else "No kit for it is known here."
        raise BadInput(field, f"by {word}", f"is no kit for this. {known}")
    return found[0]


def reading(key: str, text: str, taste: Taste) -> Reading:
    """One value read: "0.5 mg/L as NO2" is kept as nitrogen. A kit that does not say as what gives a range.

    Raises
    ------
    BadInput
        If it can't be read, or lies where no such water is.
    """
    row = MEASURED[key]
    found = quantity(text, row.dimension, key, taste)
    for end in (found.low, found.high):
        if not row.at_least <= end <= row.at_most:
            told = f"can't be right: it lies between {row.at_least:g} and {row.at_most:g} {row.unit}".strip()
            raise BadInput(key, text, f"{told}.")
    low, high = _as_element(row, found.basis, key, text)
    ends = found.low * low, found.high * high
    if ends[0] == ends[1]:
        return Reading(quantity=row.quantity, value=ends[0])
    value = found.value * low if low == high else sum(ends) / 2
    return Reading(quantity=row.quantity, value=value, low=ends[0], high=ends[1])


def _as_element(row: Measured, basis: str, key: str, text: str) -> tuple[float, float]:
    if not row.forms:
        if basis:
            raise BadInput(key, text, f'is not read "as {basis}". Write it without.')
        return 1.0, 1.0
    factors = {form: molar_mass(row.of) / molar_mass(formula) for form, formula in row.forms.items()}
    if not basis:
        return min(factors.values()), max(factors.values())
    for form, factor in factors.items():
        if form.lower() == basis.lower():
            return factor, factor
    raise BadInput(key, text, f"is read as one of {', '.join(factors)}. Write it like 0.5 mg/L as N.")


def readings_in(text: str, taste: Taste) -> tuple[Reading, ...]:
    """Readings in one line: "ammonia 0.5 mg/L as N, pH 7.8, 26C".

    Raises
    ------
    BadInput
        For a part that can't be read.
    """
    parts = [p.strip() for p in re.split(r";|(?<!\d),|,(?!\d)", text) if p.strip()]
    return readings(dict(_named(part) for part in parts), taste)


def _named(part: str) -> tuple[str, str]:
    if re.fullmatch(rf"{NUMBER}\s*°?\s*[CF]", part, re.IGNORECASE):
        return "temp", part
    m = re.fullmatch(r"([A-Za-z]+)[\s=:]+(.+)", part)
    if not m:
        raise BadInput("water", part, "is not a reading. Write it like ammonia 0.5 mg/L as N, pH 7.8, 26C.")
    return m[1].lower(), m[2]


def write_readings(values: tuple[Reading, ...]) -> dict[str, str]:
    """Readings as their keys."""
    return {BY_QUANTITY[r.quantity]: _write_reading(r) for r in values}


def _write_reading(value: Reading) -> str:
    row = MEASURED[BY_QUANTITY[value.quantity]]
    ends = plain(value.value) if value.low is None else f"{plain(value.low)} to {plain(value.high or 0)}"
    by = f" by {value.kit}" if value.kit else ""
    return f"{ends} {row.unit}".strip() + (" as N" if row.forms else "") + by
