"""Atomic masses, and what follows from them: molar masses, hydrates, "as N"."""

from __future__ import annotations

import functools
import re

from tankward.quantities.faults import BadInput

# IUPAC21: standard atomic weights 2021, the conventional value where an interval is printed [g/mol].
ATOMIC_MASS = {
    "H": 1.008, "C": 12.011, "N": 14.007, "O": 15.999, "F": 18.998403162, "Na": 22.98976928, "Mg": 24.305,
    "Al": 26.9815384, "P": 30.973761998, "S": 32.06, "Cl": 35.45, "K": 39.0983, "Ca": 40.078, "Mn": 54.938043,
    "Fe": 55.845, "Cu": 63.546, "Zn": 65.38, "Br": 79.904, "Ag": 107.8682, "I": 126.90447,
}  # fmt: skip

PART = re.compile(r"([A-Z][a-z]?)(\d*)")


@functools.lru_cache(maxsize=256)
def molar_mass(formula: str) -> float:
    """Molar mass of a compound, its water of crystals after a point: "MgSO4.7H2O". [g/mol]

    Raises
    ------
    BadInput
        If the formula can't be read or holds an element without a mass here.

    Notes
    -----
    Sum of atomic masses. Source: IUPAC21 (published-read).
    """
    return sum(_part_mass(part, formula) for part in re.split(r"[.·]", formula))


def _part_mass(part: str, formula: str) -> float:
    count, body = re.fullmatch(r"(\d*)(.*)", part).groups()  # type: ignore[union-attr]
    atoms = PART.findall(body)
    if not atoms or "".join(e + n for e, n in atoms) != body or any(e not in ATOMIC_MASS for e, _ in atoms):
        raise BadInput("formula", formula, "can't be read. Write it like NaCl or MgSO4.7H2O.")
    return int(count or 1) * sum(ATOMIC_MASS[e] * int(n or 1) for e, n in atoms)


def mass_share(part: str, whole: str, count: int = 1) -> float:
    """Share of the mass of `whole` that `count` of `part` make up. [-]"""
    return count * molar_mass(part) / molar_mass(whole)


def anhydrous_share(salt: str) -> float:
    """Share of a hydrate that is not water of crystals. [-]"""
    return molar_mass(salt.split(".")[0]) / molar_mass(salt)
