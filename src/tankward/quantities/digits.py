"""Numbers as they are printed: only the digits that can be measured with what a keeper owns."""

from __future__ import annotations

import math

# The smallest step worth printing: thermometer, pen, drop tests [common practice, no source].
STEP = {"C": 0.1, "": 0.0, "pH": 0.1}
# "1.0 g" read in haste is ten: a nought after the point is left out of whatever is poured or weighed.
NO_LAST_NOUGHT = frozenset({"L", "mL", "kg", "g", "mg", "ug"})
SHOWN_UNIT = {"C": "°C", "": "", "h": "h"}


def significant(value: float, digits: int) -> float:
    """The value to so many significant digits."""
    if value == 0 or not math.isfinite(value):
        return value
    return round(value, digits - 1 - math.floor(math.log10(abs(value))))


def plain_number(value: float, step: float = 0.0) -> str:
    """A number without exponent and without digits that nobody can measure: two below 100, three above."""
    if not math.isfinite(value):
        return "not known"
    if step:
        places = max(0, -math.floor(math.log10(step) + 1e-9))
        return f"{round(value / step) * step:.{places}f}"
    rounded = significant(value, 3 if abs(value) >= 99.5 else 2)
    if abs(rounded) >= 10 or rounded == 0:
        return f"{rounded:.0f}"
    places = max(0, 1 - math.floor(math.log10(abs(rounded))))
    text = f"{rounded:.{places}f}"
    return without_last_nought(text)


def without_last_nought(text: str) -> str:
    """ "1.0" is 1, "0.50" is 0.5."""
    return text.rstrip("0").rstrip(".") if "." in text else text


def step_of(value: float, unit: str) -> float:
    if unit == "L":
        return 1.0 if abs(value) >= 10 else 0.1 if abs(value) >= 1 else 0.0
    return STEP.get(unit, 0.0)


# From what size on, the unit in base units, its name. Milligrams go far down: nobody owns a microgram.
SCALES = {
    "mg": ((1e6, 1e6, "kg"), (1e3, 1e3, "g"), (0.01, 1.0, "mg"), (0.0, 1e-3, "ug")),
    "L": ((1.0, 1.0, "L"), (0.0, 1e-3, "mL")),
}


def scaled(value: float, unit: str) -> tuple[float, str]:
    """Mass and volume in the unit that leaves the fewest noughts: 2700 mg is 2.7 g, 0.4 L is 400 mL."""
    if value == 0 or unit not in SCALES:
        return value, unit
    size, name = next((size, name) for least, size, name in SCALES[unit] if abs(value) >= least * 0.9999)
    return value / size, name


def shown(value: float, unit: str = "", step: float = 0.0) -> str:
    """A value with its unit as it is printed."""
    value, unit = scaled(value, unit)
    text = plain_number(value, step or step_of(value, unit))
    text = without_last_nought(text) if unit in NO_LAST_NOUGHT else text
    unit = SHOWN_UNIT.get(unit, unit)
    return text if not unit else f"{text}%" if unit == "%" else f"{text} {unit}"


def shown_range(low: float, high: float, unit: str = "") -> str:
    """ "33 to 37 L": both ends in one unit; one number where they print alike."""
    size, name = scaled(high, unit)
    factor = high / size if size else 1.0
    step = step_of(size, name)
    ends = [plain_number(v / factor, step) for v in (low, high)]
    ends = [without_last_nought(end) for end in ends] if name in NO_LAST_NOUGHT else ends
    unit = SHOWN_UNIT.get(name, name)
    return (ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}") + (f" {unit}" if unit else "")


def share(value: float) -> str:
    """A share as a whole per cent."""
    return f"{100 * value:.0f} %"
