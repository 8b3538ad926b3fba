"""The nearest that can be measured: `measure`."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.knowledge.records.substance import Substance
from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.digits import shown
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.quantities.working import Answer, Named, Working, answer
from tankward.room.things import Kit

from ..batch import Batch
from ..dosing import product_shown
from ..measure import GOOD_ENOUGH, batch_off, measurable
from ..tools import COMMON_KIT, Reading, by_spoon, in_drops, in_pieces, in_syringe, on_scale, spoonable
from .asks import TOOLS, SubstanceOrNot, the

UNIT_OF = {"spoon": "mg", "scale": "mg", "syringe": "L", "drops": "L", "sachet": ""}


@calculation(
    "measure",
    unit="%",
    formula="nearest step of the tool ÷ what is wanted; a batch where that is out by over 10 %",
    group=TOOLS,
)
def measure(
    amount: Annotated[tuple[float, str], Ask("amount", "what is wanted: 0.3 g, 2 mL, 0.8 sachets")],
    tool: Annotated[str, Ask("text", "with what", choices=tuple(UNIT_OF))],
    substance: SubstanceOrNot = None,
) -> Answer:
    """The nearest to an amount that a tool can measure, and what to do when it can't.

    The answer is a share of what is wanted, so that its unit is the same for every tool; the amount itself,
    in mg, L or pieces, stands beside it.
    """
    value, unit = _fitting(amount, tool)
    facts, one = load(), the(substance)
    work = Working("a common kit: 0.1 g scale, 1, 5 and 20 mL syringes, level spoons")
    work.step("wanted", "as given", value, unit)
    reading = _with_tool(tool, value, one, facts)
    batch = (
        None if reading is not None and reading.off(value) <= GOOD_ENOUGH else _batch(value, unit, one, facts)
    )
    if reading is None and batch is None:
        raise BadInput(
            "amount", product_shown(value, unit), f"is too little for a {tool}, and no batch makes it."
        )
    if batch is not None and (reading is None or batch_off(batch, value) < reading.off(value)):
        return _said_batch(work, value, unit, batch)
    return _said(work, value, unit, reading, batch)


def _fitting(amount: tuple[float, str], tool: str) -> tuple[float, str]:
    """The amount if the tool measures such things."""
    value, unit = amount
    if value <= 0:
        raise BadInput("amount", f"{value:g}", "can't be right: it must be more than nothing.")
    wanted = UNIT_OF[tool]
    if (wanted and unit != wanted) or (not wanted and unit in {"mg", "L"}):
        accepted = {"mg": "a weight, like 2 g", "L": "a volume, like 3 mL", "": "a count, like 0.8 sachets"}[
            wanted
        ]
        raise BadInput(
            "amount", product_shown(value, unit), f"is not what a {tool} measures. Write {accepted}."
        )
    return value, unit


def _with_tool(tool: str, value: float, one: Substance | None, facts: Facts) -> Reading | None:
    kit = COMMON_KIT
    readers: dict[str, Callable[[], Reading | None]] = {
        "spoon": lambda: _spoon(value, kit, one, facts),
        "scale": lambda: on_scale(value, kit),
        "syringe": lambda: in_syringe(value * 1000.0, kit, facts),
        "drops": lambda: in_drops(value * 1000.0, facts),
        "sachet": lambda: in_pieces(value),
    }
    return readers[tool]()


def _spoon(mg: float, kit: Kit, one: Substance | None, facts: Facts) -> Reading | None:
    if one is None:
        raise BadInput("substance", "", "is missing: a spoon holds more of one powder than of another.")
    if not spoonable(one, mg):
        raise Refused(
            Reason(
                kind="spoon",
                because=f"{one.names[0].capitalize()} is not measured by the spoon: a level spoon differs "
                "by a third from hand to hand and from lot to lot.",
                would_change="Weigh it, or make a stock bottle from an amount that can be weighed.",
                status="memory",
            )
        )
    return by_spoon(mg, kit, one, facts)


def _batch(value: float, unit: str, one: Substance | None, facts: Facts) -> Batch | None:
    return measurable(value, unit, COMMON_KIT, facts, one).batch


def _said(work: Working, wanted: float, unit: str, reading: Reading | None, batch: Batch | None) -> Answer:
    if reading is None:
        raise ValueError("neither a reading nor a batch")
    work.step("nearest", reading.name, reading.amount, unit, source=reading.source, status=reading.status)
    off = Named.of("out by at most", 100 * reading.off(wanted), "%")
    if reading.off(wanted) > GOOD_ENOUGH:
        work.caution(f"It may be out by {off.shown}: weigh it, or dissolve more and give a part.")
    says = "{what}: {amount}, in truth {least} to {most}."
    nearest = Named.of("nearest", reading.amount, unit, reading.low, reading.high)
    return answer(
        work.step("of what is wanted", "nearest ÷ wanted", 100 * reading.amount / wanted, "%"),
        "%",
        work,
        low=100 * reading.low / wanted,
        high=100 * reading.high / wanted,
        also=(nearest, off, *_also_batch(batch)),
        says=says,
        what=_counted(reading),
        amount=product_shown(reading.amount, unit),
        least=product_shown(reading.low, unit),
        most=product_shown(reading.high, unit),
    )


def _counted(reading: Reading) -> str:
    if reading.tool == "spoon":
        return f"{shown(reading.count)} × {reading.name}, level"
    if reading.tool == "syringe" and reading.count > 1:
        return f"{shown(reading.count)} fills of a {reading.name}"
    if reading.tool == "piece":
        return "Whole or halved by eye"
    return f"{shown(reading.count)} drops" if reading.tool == "drops" else f"With a {reading.name}"


def _also_batch(batch: Batch | None) -> tuple[Named, ...]:
    return () if batch is None else (Named.of("portion of a batch instead", batch.portion_ml / 1000.0, "L"),)


def _said_batch(work: Working, wanted: float, unit: str, batch: Batch) -> Answer:
    work.step("in the portion", "take × portion ÷ water", batch.give, unit)
    off = Named.of("out by at most", 100 * batch_off(batch, wanted), "%")
    low, high = batch.give * (1 - batch.off), batch.give * (1 + batch.off)
    nearest = Named.of("nearest", batch.give, unit, low, high)
    return answer(
        work.step("of what is wanted", "nearest ÷ wanted", 100 * batch.give / wanted, "%"),
        "%",
        work,
        low=100 * low / wanted,
        high=100 * high / wanted,
        also=(nearest, off, *_also_batch(batch)),
        says=batch_says(batch),
    )


def batch_says(batch: Batch) -> str:
    """A batch as one sentence or two."""
    taken = product_shown(batch.take, batch.take_unit)
    water = shown(batch.into_ml / 1000, "L")
    start = (
        f"Fill {taken} up to {water} with water"
        if batch.kind == "liquid"
        else f"Dissolve {taken} in {water} of water"
    )
    thin = ""
    if batch.steps:
        times = "once" if batch.steps == 1 else f"{batch.steps} times over"
        thin = f"; fill {batch.step_take_ml:g} mL of that up to {batch.step_into_ml:g} mL, {times}"
    if batch.pour_out_ml is not None:
        out = shown(batch.pour_out_ml / 1000, "L")
        return f"{start}{thin}. Take {out} out and throw it away; give the rest."
    return f"{start}{thin}. Give {shown(batch.portion_ml / 1000, 'L')} of it; throw the rest away."
