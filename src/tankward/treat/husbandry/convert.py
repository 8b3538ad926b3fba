"""The same amount in another unit, as another salt or hydrate, or named in another way."""

from __future__ import annotations

import re
from typing import Annotated

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.knowledge.plain import plain
from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Quantity, quantity
from tankward.quantities.units import BASE, EXACT, Unit, unit_of
from tankward.quantities.working import Answer, Working, answer
from tankward.water.naming import NITROGEN, formula_factor, is_formula, nitrogen_factor

from ..amounts.formalin import MG_FORMALDEHYDE_PER_UL
from .forms import form_factor

FORMALIN = "formalin"
MG_L_PER_SHARE = 1e6  # 1 % by weight in volume is 10 g/L
DIMENSIONS = tuple(d for d in BASE if d not in {"ph", "number", "ratio"})
ELEMENTS = {"cu": "Cu", "cl": "Cl", "mg": "Mg", "ca": "Ca"}


class Target(msgspec.Struct, frozen=True):
    """What is asked for: a unit, a name ("as NO2", "copper"), or both."""

    unit: str
    name: str


@calculation(
    "convert",
    unit="as asked",
    formula="units by definition; salts and hydrates by molar mass; nitrogen for nitrogen",
    source="IUPAC21",
    group="units and names",
)
def convert(
    amount: Annotated[str, Ask("text", "what you have, like 10 US gal or 0.5 mg/L as N")],
    to: Annotated[str, Ask("text", "what you want, like L, mg/L as NO2, dKH or copper")],
    substance: Annotated[str, Ask("text", "of what, like copper sulfate pentahydrate or MgSO4.7H2O")] = "",
) -> Answer:
    """The same in another unit, as another salt, or named in another way."""
    work = Working()
    have = _have(amount, to)
    target = _target(to, have.dimension)
    value = work.step(f"in {have.unit or 'base'}", "by definition of the unit", have.value, have.unit)
    name, factor, source = _renamed(have, target, substance, load())
    if factor != 1.0:
        value = work.step(f"as {name}", f"× {factor:.4f}", value * factor, have.unit, source=source)
    scale, unit = _scale(have.dimension, target)
    shown_in = unit + (f" as {name}" if name else "")
    out = [_in_unit(v * factor, have.dimension, scale, unit) for v in (have.value, have.low, have.high)]
    work.step(f"in {unit or 'that'}", "by definition of the unit", out[0], unit)
    return answer(
        out[0],
        shown_in,
        work,
        low=out[1],
        high=out[2],
        says=f"{amount.strip()} is {{shown}}.".replace("  ", " "),
    )


def _have(amount: str, to: str) -> Quantity:
    """What was written, in the dimension that the wanted unit has too."""
    wanted = _unit_part(to)
    fits = [d for d in DIMENSIONS if not wanted or unit_of(wanted, d) or _crosses(d, wanted)]
    faults: list[BadInput] = []
    for dimension in fits or DIMENSIONS:
        try:
            return quantity(amount, dimension, "amount")
        except BadInput as fault:
            faults.append(fault)
    asked = next((f for f in faults if "could mean" in f.accepted), None)
    raise asked or BadInput(
        "amount", amount, f"can't be turned into {to}. Write it like 10 US gal or 0.5 mg/L as N."
    )


def _unit_part(to: str) -> str:
    """The unit in what is asked for; empty where only a name is."""
    head = re.split(r"\bas\b", to)[0].strip()
    if is_formula(head) and head not in EXACT and not _is_degree(head):
        return ""  # Mg is magnesium, mg a milligram
    for words in (head, head.split(" ")[0]):
        if words and (_is_degree(words) or any(unit_of(words, d) for d in DIMENSIONS)):
            return words
    return ""


def _is_degree(word: str) -> bool:
    return plain(word).strip("°") in {"c", "f", "celsius", "fahrenheit"}


def _crosses(dimension: str, wanted: str) -> bool:
    """Dimensions that turn into another: formalin and per cent into a level, degrees by their letter."""
    if dimension == "temperature":
        return _is_degree(wanted)
    return dimension in {"volume_level", "share"} and unit_of(wanted, "level") is not None


def _target(to: str, dimension: str) -> Target:
    unit = _unit_part(to)
    name = to.strip()[len(unit) :] if unit and to.strip().startswith(unit) else to if not unit else ""
    return Target(unit, re.sub(r"^\s*as\b", "", name).strip())


def _renamed(have: Quantity, target: Target, substance: str, facts: Facts) -> tuple[str, float, str]:
    """The name, what one of the old comes to under it, and the source of that."""
    crossed = _crossed(have, target, substance)
    if crossed is not None:
        return crossed
    if not target.name:
        return "", 1.0, "none"
    name, old = ELEMENTS.get(target.name.lower(), target.name), have.basis or substance.strip()
    if name in NITROGEN and old in NITROGEN:
        return name, nitrogen_factor(old, name), "IUPAC21"
    if is_formula(name) and is_formula(old):
        return name, formula_factor(old, name), "IUPAC21"
    if not substance.strip():
        raise BadInput(
            "to", target.name, "needs the substance too. Write substance=copper, or 0.5 mg/L as N."
        )
    return form_factor(substance, have.basis, target.name, facts)


def _crossed(have: Quantity, target: Target, substance: str) -> tuple[str, float, str] | None:
    if not target.unit or unit_of(target.unit, "level") is None:
        return None
    if have.dimension == "share":
        return "", MG_L_PER_SHARE, "none"
    if have.dimension != "volume_level":
        return None
    if FORMALIN not in plain(substance):
        raise BadInput(
            "substance", substance, "has to be said: only formalin is turned from uL/L into mg/L here."
        )
    return "formaldehyde", MG_FORMALDEHYDE_PER_UL, "FORMLBL"


def _scale(dimension: str, target: Target) -> tuple[Unit | None, str]:
    if dimension == "temperature":
        return None, "F" if plain(target.unit).strip("°").startswith("f") else "C"
    for d in (dimension, "level"):
        found = unit_of(target.unit, d) if target.unit else None
        if found is not None and found.ask:
            raise BadInput("to", target.unit, f"could mean two things: write {found.ask}.")
        if found is not None:
            return found, found.name
    return None, BASE[dimension]


def _in_unit(value: float, dimension: str, scale: Unit | None, unit: str) -> float:
    if dimension == "temperature" and unit == "F":
        return value * 9 / 5 + 32
    return value / float(scale.factor) if scale is not None else value
