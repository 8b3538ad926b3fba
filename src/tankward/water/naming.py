"""One thing named in several ways: nitrogen or its ion, a salt or its part, with its water of crystals."""

from __future__ import annotations

import re

from tankward.quantities.faults import BadInput

from .atoms import ATOMIC_MASS, molar_mass

NITROGEN = ("N", "NH3", "NH4", "NO2", "NO3")
FORMULA = re.compile(r"(?:\d*(?:[A-Z][a-z]?\d*)+)(?:[.·]\d*H2O)?")


def is_formula(text: str) -> bool:
    """Whether it reads as a formula of known elements, like NaCl or MgSO4.7H2O."""
    if not FORMULA.fullmatch(text):
        return False
    return all(element in ATOMIC_MASS for element in re.findall(r"[A-Z][a-z]?", text))


def nitrogen_factor(one: str, other: str) -> float:
    """What one mg named by `one` comes to when named by `other`, nitrogen for nitrogen. [-]

    Raises
    ------
    BadInput
        If a name is none of N, NH3, NH4, NO2, NO3.

    Notes
    -----
    1 mg as N is 3.284 mg as NO2. Source: IUPAC21 (computed).
    """
    for name in (one, other):
        if name not in NITROGEN:
            raise BadInput("to", name, f"is not one of {', '.join(NITROGEN)}.")
    return molar_mass(other) / molar_mass(one)


def atoms_of(formula: str) -> dict[str, int]:
    """How many of each element a formula holds, water of crystals included."""
    found: dict[str, int] = {}
    for part in re.split(r"[.·]", formula):
        times = re.match(r"\d*", part)
        many = int(times[0]) if times and times[0] else 1
        for element, n in re.findall(r"([A-Z][a-z]?)(\d*)", part):
            found[element] = found.get(element, 0) + many * int(n or 1)
    return found


def formula_factor(one: str, other: str) -> float:
    """What one mg of a salt comes to as another hydrate of it, or as one of its elements. [-]

    Raises
    ------
    BadInput
        If the one is not made of the other.

    Notes
    -----
    MgSO4.7H2O to MgSO4 is 0.4884, CuSO4.5H2O to Cu 0.2545. Source: IUPAC21 (computed).
    """
    if other in ATOMIC_MASS and other in atoms_of(one):
        return atoms_of(one)[other] * molar_mass(other) / molar_mass(one)
    if one in ATOMIC_MASS and one in atoms_of(other):
        return 1 / formula_factor(other, one)
    if re.split(r"[.·]", one)[0] == re.split(r"[.·]", other)[0]:
        return molar_mass(other) / molar_mass(one)
    raise BadInput("to", other, f"is neither a hydrate nor an element of {one}.")
