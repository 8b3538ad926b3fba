"""How the days, hours and litres of a remedy without medicine were come by."""

from __future__ import annotations

from collections.abc import Sequence

from tankward.knowledge.known import Facts
from tankward.knowledge.records.organism import Organism
from tankward.knowledge.records.remedy import RemedyFigure
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer, Working, answer
from tankward.treat.remedies.records import Number, Option
from tankward.treat.remedies.transfers import USUAL_C, starve_d

from .records import Without
from .request import CourseRequest

MOVES = {
    "hatch_h": ("what fell off can hatch after", "the shortest swim and cyst, 5th centile"),
    "move_every_h": ("moved every", "the next shorter that a keeper can keep up"),
    "move_days": ("moved for", "the longest stay on the fish, 95th centile, and one round more"),
}


def days_worked(
    laid: Without, option: Option, organisms: Sequence[Organism], usual: RemedyFigure, request: CourseRequest,
    asked: bool,
) -> Answer:  # fmt: skip
    """How long the tank stands without fish, and how often these are moved."""
    work = Working()
    if request.temp_c is None:
        work.assume(f"the temperature is not known: counted as {USUAL_C:g} °C")
    at_c = usual.temp_low_c or USUAL_C
    days = usual.span[1] if usual.span else 0.0
    work.step(
        "the trade's figure", f"tank without fish at {at_c:g} °C or warmer", days, "d", source=usual.source,
        status=usual.status,
    )  # fmt: skip
    for organism in organisms:
        _lives(work, organism, (request.temp_c or Estimate.exact(USUAL_C)).value, at_c)
    for number in option.figures if laid.every_h else ():
        if number.id in MOVES:
            _moved(work, number)
    work.step("without fish", "as asked for" if asked else "the longest of them", laid.days, "d")
    return answer(laid.days, "d", work, says="{shown} without fish.")


def _lives(work: Working, organism: Organism, temp_c: float, usual_c: float) -> None:
    name = organism.common[0] if organism.common else organism.name
    for row in organism.parameter:
        if row.name == "off_host_days" and row.use:
            work.step(
                f"{name} without fish", "the longest that is known", row.high, "d", source=row.source,
                status=row.status,
            )  # fmt: skip
    here, usual = starve_d(organism, temp_c), starve_d(organism, usual_c)
    if here is not None and usual is not None and here > usual:
        work.step(f"{name} in this water", f"times longer than at {usual_c:g} °C", here / usual, "")


def _moved(work: Working, number: Number) -> None:
    name, formula = MOVES[number.id]
    work.step(name, formula, number.high, number.unit, source=number.source, status=number.status)


def tub_worked(grams: Estimate, tub_l: float, facts: Facts, *, asked: bool) -> Answer:
    """Water of each tub."""
    row = next(r for r in facts.hygiene.stocking if r.id == "hospital")
    work = Working("no filter is counted in a tub")
    work.step("fish", "all that go over", grams.value, "g")
    work.step(
        "in a litre", "of a bare tub, at most", row.high or 0.0, "g/L", source=row.source, status=row.status
    )
    need = work.step("wanted", "fish ÷ grams in a litre", grams.value / (row.high or 1.0), "L")
    work.step("tub", _why(tub_l, need, asked), tub_l, "L")
    return answer(tub_l, "L", work, says="{shown} in each tub.")


def _why(tub_l: float, need: float, asked: bool) -> str:
    if asked:
        return "as asked for"
    return "rounded, or your next larger bucket" if tub_l >= need - 1 else "no more than the tank holds"


def waited_worked(laid: Without, option: Option) -> Answer:
    """How long is waited."""
    row = next((n for n in option.figures if n.id == "days"), None)
    work = Working()
    source, status = (row.source, row.status) if row else ("none", "common-practice")
    work.step("to wait", "before they are counted again", laid.days, "d", source=source, status=status)
    return answer(laid.days, "d", work, says="{shown}.")
