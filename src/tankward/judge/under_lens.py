"""What was counted under the microscope, as results of the tests of the facts (rule 35)."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.cause import Test
from tankward.knowledge.records.keeping import View
from tankward.room.entries.looks import Look

from .evidence import Outcome

OUTSIDE = ("skin", "fin", "gills", "lesion")
INSIDE = ("faeces", "gut")


class Counted(msgspec.Struct, frozen=True, kw_only=True):
    """One germ in one low-power field: how many, and how many that is."""

    view: str
    cause: str
    number: float
    grade: str  # slight, moderate, marked, extreme; "" where none was found
    sample: str


def grade_of(number: float, facts: Facts) -> str:
    """The field scale: slight, moderate, marked, extreme; "" for none.

    Parameters
    ----------
    number : float
        Germs in one low-power field. [-]
    facts : Facts
        The grades of the facts.
    """
    grades = [g for g in facts.hygiene.field_grade if g.low is not None and g.high is not None]
    if number <= 0:
        return ""
    return next((g.id for g in grades if g.high is not None and number <= g.high), grades[-1].id)


def counted(looks: Iterable[Look], facts: Facts) -> tuple[Counted, ...]:
    """Every germ that was looked for, by its newest count."""
    views = {v.id: v for v in facts.hygiene.view}
    found: dict[str, Counted] = {}
    for look in looks:
        for name, number in look.in_field.items():
            if view := views.get(name):
                found[name] = Counted(
                    view=name, cause=view.cause, number=number, grade=grade_of(number, facts),
                    sample=look.sample or view.samples[0],
                )  # fmt: skip
    return tuple(found.values())


def outcomes(found: Iterable[Counted], facts: Facts) -> tuple[Outcome, ...]:
    """Counts as results of tests: of the germs of one cause the one with most counts.

    Notes
    -----
    A germ found is not a cause proved: how far it moves the odds is told by the sensitivity and specificity
    of the facts, and by how many there were.
    """
    told: dict[tuple[str, str], tuple[float, Outcome]] = {}
    views = {v.id: v for v in facts.hygiene.view}
    for one in found:
        test = _test(views[one.view], one.sample, facts)
        if test is None:
            continue
        key = (one.cause, test.name)
        result = Outcome(cause=one.cause, test=test.name, positive=one.number > 0, degree=one.grade)
        if key not in told or told[key][0] < one.number:
            told[key] = (one.number, result)
    return tuple(result for _, result in told.values())


def _test(view: View, sample: str, facts: Facts) -> Test | None:
    """The test of its cause on that sample, else on one of the same side of the fish."""
    if not view.cause:
        return None
    tests = [t for t in facts.causes[view.cause].test if t.sample and "microscope" in t.cost]
    side = OUTSIDE if sample in OUTSIDE else INSIDE if sample in INSIDE else ()
    return next((t for t in tests if t.sample == sample), None) or next(
        (t for t in tests if t.sample in side), None
    )
