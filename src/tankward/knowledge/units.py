"""Units a fact may be written in. Another stops the load: it is a slip, or it needs a decision."""

from __future__ import annotations

NUMBERS = {"1", "%", "ratio", "pH", "steps", "step", "drops", "marks", "spoon", "eggs", "young"}
LENGTH_MASS_VOLUME = {"um", "mm", "cm", "mg", "g", "mL", "L"}
TIME = {"min", "h", "d", "weeks", "months", "years", "h/d"}
LEVELS = {"mg/L", "ug/L", "g/L", "uL/L", "mL/L", "ug/mL", "ug/g", "mg/kg", "g/kg", "mg/g", "umol/L"}
LEVELS_OF_WHAT = {
    "mg/L CaCO3", "mg/L N", "mg N/L", "mg/L NH3", "mg/L NH3-N", "mg/L TAN-N", "mg/L un-ionised ammonia",
    "mg/L NO2-", "mg/L NO2-N", "mg/L nitrite", "mg/L NO3-", "mg/L NO3-N", "mg/L O2", "mg/L Zn",
}  # fmt: skip
FOOD = {"mg/kg/day", "g/kg feed", "mg/kg feed"}
HARDNESS = {"dH", "dGH", "dKH"}
RATES = {
    "1/d", "1/h", "%/d", "C/min", "C/h", "C/d", "pH/h", "pH/d", "mm/d", "cm/h", "L/min", "mg/(L h)",
    "L/(h g)", "mg O2/kg/h", "mL O2/h", "umol O2/g/h",
}  # fmt: skip
DENSITIES = {
    "1/L",
    "1/g",
    "1/fish",
    "cm/L",
    "W/L",
    "W/(m2 K)",
    "uS/cm",
    "mJ/cm2",
    "kPa",
    "g/mol",
    "J/mol/K",
    "kJ/mol",
    "Wh/(L K)",
}
MASS_PER_MASS = {
    "mg O2 per uL", "gCOD/gN", "mg per mg Cl", "mg per mg chlorine", "mg per mg CaCO3",
    "mg per mg CaCO3 alkalinity", "mg per mg tricaine", "mg chloride per mg nitrite",
}  # fmt: skip

KNOWN_UNITS = frozenset(
    {"C"}
    | NUMBERS
    | LENGTH_MASS_VOLUME
    | TIME
    | LEVELS
    | LEVELS_OF_WHAT
    | FOOD
    | HARDNESS
    | RATES
    | DENSITIES
    | MASS_PER_MASS
)
