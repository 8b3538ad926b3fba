"""What to put back after a change, at both ends: if it all lasted, if it were all gone. Safety rule 9."""

from __future__ import annotations

from datetime import datetime

from tankward.knowledge.known import Facts
from tankward.quantities.digits import shown
from tankward.treat.amounts.batch import Batch
from tankward.treat.amounts.dosing import product_shown
from tankward.treat.course.records import BackOf, Course, PutBack

from .acts import listed


def ends_of(part: BackOf, unit: str, batch: Batch | None = None) -> tuple[str, str, str]:
    """Lasting, likely, gone: of the cup it is poured from, in packets, else as the active itself."""
    units = [u for u in (part.units_lasting, part.units_likely, part.units_gone) if u is not None]
    if not unit and batch is not None and part.unit == batch.take_unit == "mg":
        doses = (part.lasting, part.likely, part.gone)
        low, likely, high = (shown(x * batch.portion_ml / batch.give / 1000.0, "L") for x in doses)
    elif not unit or len(units) < 3:
        low, likely, high = (shown(x, part.unit) for x in (part.lasting, part.likely, part.gone))
    elif batch is not None and max(units) * _of_cup(batch, unit) <= batch.into_ml:
        low, likely, high = (shown(u * _of_cup(batch, unit) / 1000.0, "L") for u in units)
    else:
        low, likely, high = (_packets(u, unit) for u in units)
    return low, likely, high


def _of_cup(batch: Batch, unit: str) -> float:
    """Millilitres of the cup that hold one of the packet's units: a g, a mL or a piece."""
    in_one = {"mg": 1000.0, "L": 1e-3}.get(batch.take_unit, 1.0) if unit in ("g", "mL", "ml") else 1.0
    return in_one * batch.portion_ml / batch.give


def batch_at(course: Course, at: datetime) -> Batch | None:
    """The cup that is stirred up for what is put back then."""
    step = next((s for s in course.steps if s.at == at and s.kind == "put-back" and s.measured), None)
    return step.measured.batch if step is not None and step.measured is not None else None


def _packets(count: float, unit: str) -> str:
    if unit in ("g", "mL", "ml"):
        return shown(count * 1000.0, "mg") if unit == "g" else shown(count / 1000.0, "L")
    return product_shown(count, unit)


def unit_in(course: Course) -> str:
    """The unit of the packet in which the course is counted; "" where none is."""
    dose = next((d for d in course.doses if d.units is not None), None)
    if dose is None:
        return ""
    return "g" if dose.measured.unit == "mg" else "mL" if dose.measured.unit == "L" else dose.measured.unit


SALT_STAYS = (
    "Salt does not fade: only what the change took goes back, dissolved in the new water before it is poured."
)


def back_why(back: PutBack, course: Course, facts: Facts) -> str:
    """Both ends in two sentences, and what is not known."""
    unit = unit_in(course)
    part = next((p for p in back.parts if p.substance == back.by), None)
    if part is None:
        return ""
    if facts.substances[part.substance].kind == "salt":
        return SALT_STAYS
    batch = batch_at(course, back.at)
    low, likely, high = ends_of(part, unit, batch)
    name = facts.substances[part.substance].names[0]
    told = [
        f"{low} would do if all of the {name} lasted, {high} would be needed if it were all gone; "
        f"{likely} is likely."
    ]
    if part.generic:
        told.append(f"Nobody has measured how fast {name} goes: a wide range was taken.")
    if back.apart:
        told.append(apart_words(back, unit, facts))
    return " ".join(told)


def apart_words(back: PutBack, unit: str, facts: Facts) -> str:
    """One packet can no longer hold both: choose."""
    each = [f"{ends_of(p, unit)[1]} by its {facts.substances[p.substance].names[0]}" for p in back.parts]
    by = facts.substances[back.by].names[0]
    return (
        f"This packet can no longer hold both: {listed(each)}. "
        f"The plan goes by {by}, so that none climbs over its level."
    )
