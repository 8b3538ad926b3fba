"""The working of a dose: amount, level, what was published, what is still in from the dose before."""

from __future__ import annotations

from tankward.judge.figures import unit_of
from tankward.knowledge.known import Facts
from tankward.quantities.digits import shown
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer, Named, Working, answer

from .records import ActiveDose, DosePlan, PutBack, Valued
from .steps import estimate, exactly


def dose_values(found: DosePlan, peaks: dict[str, Estimate]) -> dict[str, Valued | str]:
    values: dict[str, Valued | str] = {"number": exactly(found.number)}
    for active in found.actives:
        values[f"level {active.substance}"] = estimate(active.level, active.level_unit)
        values[f"peak {active.substance}"] = estimate(peaks[active.substance], active.level_unit)
    return values


def left_values(left: PutBack | None, facts: Facts) -> dict[str, Valued | str]:
    """What of an earlier dose the change leaves in the water."""
    if left is None:
        return {}
    stays = 1.0 - left.changed
    return {
        f"left {p.substance}": estimate(p.before.scaled(stays), unit_of(facts.substances[p.substance]))
        for p in left.parts
    }


def dose_answer(found: DosePlan, volume_l: Estimate, left: PutBack | None = None) -> Answer:
    """How much goes in, with its working: mg of the active, or packets with their actives beside."""
    work = Working()
    work.step("volume", "water of the tank", volume_l.value, "L")
    if left is not None:
        _left_worked(work, found, left)
    also = tuple(_worked(work, a) for a in found.actives)
    if found.units is not None:
        return packet_answer(found, work, also)
    active = found.actives[0]
    m = found.measured
    off = active.amount / m.amount if m.amount else 1.0
    return answer(
        active.amount,
        active.amount_unit,
        work,
        low=m.low * off,
        high=m.high * off,
        also=also,
        says="{shown}.",
    )


def packet_answer(found: DosePlan, work: Working, also: tuple[Named, ...] = ()) -> Answer:
    """So much of a product, in the unit in which it is measured: packets, mg or L, no count of mL."""
    m = found.measured
    work.step("of the product", "amount of active ÷ amount in one", m.amount, m.unit)
    return answer(m.amount, m.unit, work, low=m.low, high=m.high, also=also, says="{shown}.")


def _worked(work: Working, active: ActiveDose) -> Named:
    span = active.published
    if span is not None:
        name = f"published, {active.substance}"
        work.step(
            name, "highest of the courses", span.high, span.unit, source=span.source, status=span.status
        )
    level = active.level
    work.step(f"level, {active.substance}", "amount ÷ volume", level.value, active.level_unit)
    work.step(f"amount, {active.substance}", "level × volume", active.amount, active.amount_unit)
    return Named(
        name=active.substance,
        value=level.value,
        unit=active.level_unit,
        low=level.low,
        high=level.high,
        shown=shown(level.value, active.level_unit),
    )


def _left_worked(work: Working, found: DosePlan, left: PutBack) -> None:
    """What an earlier dose has left: so much less goes in."""
    units = {a.substance: a.level_unit for a in found.actives}
    for part in left.parts:
        work.step(
            f"still in, {part.substance}",
            "level just before × (1 − share changed)",
            part.before.value * (1.0 - left.changed),
            units[part.substance],
            inputs={"share": left.changed},
        )
