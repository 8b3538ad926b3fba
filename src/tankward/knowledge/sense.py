"""Checks on a row by itself: source, unit, order, whether its use is allowed; and names used twice."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tankward.knowledge.documents import THINGS, Document, FactFault
from tankward.knowledge.known import Facts
from tankward.knowledge.plain import plain
from tankward.knowledge.records.base import NO_SOURCE, Record
from tankward.knowledge.records.cause import Cause
from tankward.knowledge.records.organism import Kill
from tankward.knowledge.records.substance import Ceiling, Substance
from tankward.knowledge.units import KNOWN_UNITS

Wrong = tuple[str, str]

PAIRS = (
    ("low", "high"),
    ("duration_h_low", "duration_h_high"),
    ("interval_d_low", "interval_d_high"),
    ("repeats_low", "repeats_high"),
    ("half_life_h_low", "half_life_h_high"),
    ("gone_after_h_low", "gone_after_h_high"),
    ("rate_mg_l_h_low", "rate_mg_l_h_high"),
    ("temp_min_c", "temp_max_c"),
    ("share_low", "share_high"),
    ("hill_low", "hill_high"),
    ("emax_low", "emax_high"),
    ("rows_low", "rows_high"),
    ("moisture_low", "moisture_high"),
    ("protein_low", "protein_high"),
    ("temp_low_c", "temp_high_c"),
    ("ph_low", "ph_high"),
    ("mass_low_g", "mass_high_g"),
)

NUMBERS = ("value", "low", "high", "values", "strength", "level", "warn_above")


def source_faults(row: Record, facts: Facts) -> Iterator[Wrong]:
    """A key that is no source; a figure called read with no source."""
    source = getattr(row, "source", None)
    if source is None:
        return
    keys = source.split()
    if not keys:
        yield "source", 'is empty (write source = "none")'
    for key in keys:
        if key != NO_SOURCE and key not in facts.sources:
            yield "source", f'"{key}" is no key of the sources'
    if getattr(row, "status", "") == "published-read" and set(keys) <= {NO_SOURCE}:
        yield "status", "published-read needs a source"


def unit_faults(row: Record, facts: Facts) -> Iterator[Wrong]:
    """A unit nobody knows; a number without one."""
    unit = getattr(row, "unit", None)
    if unit is None or isinstance(unit, tuple):
        return
    if unit and unit not in KNOWN_UNITS:
        yield "unit", f'"{unit}" is no unit of the facts'
    numbers = [n for n in NUMBERS if isinstance(getattr(row, n, None), int | float)]
    if not unit and numbers:
        yield "unit", f"{numbers[0]} is a number without a unit"


def order_faults(row: Record, facts: Facts) -> Iterator[Wrong]:
    """A low above its high."""
    for low_name, high_name in PAIRS:
        low, high = getattr(row, low_name, None), getattr(row, high_name, None)
        if low is not None and high is not None and low > high:
            yield low_name, f"{low:g} lies above {high_name} {high:g}"
    if isinstance(row, Ceiling) and not 0 < row.warn_above < row.refuse_above:
        yield "warn_above", "must lie above zero and below refuse_above"
    if isinstance(row, Kill) and not (row.exposure_h > 0 and row.share_low >= 0 and row.share_high <= 1):
        yield "exposure_h", "exposure must be above zero and shares between 0 and 1"


NEEDED_EFFECTS = ("filter", "plants", "shrimp", "snails", "oxygen")
NOT_PROPOSED = ("hazard", "historic")


def use_faults(row: Record, facts: Facts) -> Iterator[Wrong]:
    """A substance whose rows contradict its use; a cause whose chances are no chances."""
    if isinstance(row, Substance):
        yield from _use_of_substance(row)
    if isinstance(row, Cause):
        for number, chance in enumerate(row.sign, 1):
            if not 0 <= chance.low <= chance.high <= 1:
                yield f"sign row {number}", "a chance lies between 0 and 1"


def _use_of_substance(substance: Substance) -> Iterator[Wrong]:
    there = {effect.on for effect in substance.effect}
    for on in NEEDED_EFFECTS:
        if on not in there:
            yield "effect", f'has no row on {on} (write level = "unknown")'
    for number, regimen in enumerate(substance.regimen, 1):
        at = f"regimen row {number}"
        if regimen.recommended and substance.use in NOT_PROPOSED:
            yield at, f"recommended although use is {substance.use}"
        if regimen.recommended and substance.never_with_animals and regimen.route not in ("tool", "swab"):
            yield at, "recommended with animals although never_with_animals"
        if not regimen.treats and not regimen.purpose:
            yield at, "says neither what it treats nor its purpose"


def twice(record: Record) -> Iterator[Wrong]:
    """An id that stands twice in one table."""
    for field in record.__struct_fields__:
        seen: set[str] = set()
        rows = getattr(record, field)
        if not isinstance(rows, tuple):
            continue
        for number, row in enumerate(rows, 1):
            key = _key(field, row)
            if key and key in seen:
                yield f"{field} row {number}", f'"{key}" stands twice'
            seen.add(key)


KEYS = {"sensitivity": "group", "effect": "on", "sign": "id", "against": "id", "filter_effect": "word"}
MAY_REPEAT = {
    "context",
    "procedure",
}  # a cause weighs one context by several windows; a step belongs to a list


def _key(field: str, row: object) -> str:
    if field in MAY_REPEAT:
        return ""
    return str(getattr(row, KEYS.get(field, "id"), "") or "")


def name_faults(documents: Iterable[Document]) -> Iterator[FactFault]:
    """A name that means two things of one kind."""
    seen: dict[tuple[str, str], str] = {}
    for document in documents:
        if document.folder not in THINGS or document.folder == "organisms":
            continue
        for name in names_of(document.record):
            other = seen.setdefault((document.folder, name), document.name)
            if other != document.name:
                yield FactFault(document.name, "names", f'"{name}" is also a name of {other}')


def names_of(thing: Record) -> set[str]:
    """Its id and the names it alone may have."""
    one = [getattr(thing, field, "") for field in ("id", "common", "scientific", "name")]
    many = list(getattr(thing, "names", ()))
    return {plain(n) for n in (*one, *many) if isinstance(n, str) and n}
