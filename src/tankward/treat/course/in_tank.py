"""A course in the tank's own water."""

from __future__ import annotations

from collections.abc import Mapping

from tankward.judge.ceilings import ceiling
from tankward.judge.figures import usual
from tankward.judge.limit import Limit
from tankward.judge.limits import limits
from tankward.judge.verdicts import Verdict, judge_levels, refused, worst
from tankward.knowledge.known import Facts
from tankward.quantities.faults import Reason
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer, Working, answer
from tankward.room.things import Supply
from tankward.treat.amounts.published import refuse_if_beyond
from tankward.treat.label import LabelVerdict, judge_label
from tankward.treat.remedies.levels import Span
from tankward.treat.remedies.reach import organisms_of

from .asked import Asked
from .choice import Chosen, refuse
from .dates import Timing, by_label, by_regimen
from .doses import Portion, actives_of, portion
from .exposure import NO_CLIMB, exposure_h
from .finish import finished
from .put_back import water_of
from .records import Course, DosePlan
from .request import CourseRequest
from .shaped import lay_shaped, timing_of, too_often
from .steps import Steps
from .tank import Laid, Plan, lay


def tank_course(asked: Asked) -> Course:
    """Doses into the tank, with what to put back after each change."""
    chosen, facts, volume = asked.chosen, asked.facts, asked.volume_l
    rule = chosen.supply.rule if chosen.supply else None
    own = asked.own_rule or asked.unnamed or bool(asked.unknown)
    full = portion(
        chosen, volume.value, asked.request.kit, facts, level=asked.level, units=asked.units, own_rule=own
    )
    within_published(full, volume, facts)
    timing = by_label(rule) if rule is not None and own else published_timing(chosen, facts)
    if asked.shape is not None:
        timing = timing_of(asked.shape, timing)
        refuse(too_often(asked.shape, timing))
    plan = Plan(
        request=asked.request,
        chosen=chosen,
        timing=timing,
        full=full,
        water=water_of(asked.request, volume),
        start=asked.start,
        rule=rule if own else None,
        apart=asked.apart,
    )
    steps = Steps(asked.key, facts, chosen.option.people)
    laid = lay(steps, plan, facts) if asked.shape is None else lay_shaped(steps, plan, asked.shape, facts)
    made, bears = judged(plan, laid, facts)
    refuse(refused(bears))
    warned = by_ceilings(laid.doses, facts)
    label = judge_supply(asked.request, chosen.supply, volume, facts, made)
    if own and label is not None and not asked.unnamed:
        refuse(label.refusals)
    return finished(
        asked,
        steps,
        laid.ends,
        timing=timing,
        volume_l=volume,
        level=level_answer(laid, volume, aimed_at(full, volume, facts)),
        doses=laid.doses,
        put_back=laid.put_back,
        limits=made,
        bears=bears,
        more=(*warned, *_extra(asked, timing, laid)),
        jar_trial=asked.unnamed or bool(asked.unknown) or worst(bears) == "unknown",
        judged=label,
    )


def published_timing(chosen: Chosen, facts: Facts) -> Timing:
    """Timing of the regimen; of a combination that of the part for the cause that is given most often."""
    rule = chosen.supply.rule if chosen.supply else None
    if not chosen.one.parts:
        return by_regimen(chosen.regimen, rule, held_d(chosen, facts))
    causes = set(chosen.situation.causes)
    rows = [r for p in chosen.one.parts for r in facts.substances[p].regimen if r.recommended]
    aimed = [r for r in rows if r.route == chosen.regimen.route and causes & set(r.treats)]
    sure = [r for r in aimed if r.status == "published-read"] or aimed
    return by_regimen(max(sure, key=lambda r: r.repeats_low or 1, default=chosen.regimen), rule)


def held_d(chosen: Chosen, facts: Facts) -> float | None:
    """Days for which an organism's usual course holds this regimen, where it has no time of its own. [d]"""
    name = f"{chosen.one.id}/{chosen.regimen.id}"
    rows = [o.usual.hold_d for o in organisms_of(chosen.situation.causes, facts) if o.usual.regimen == name]
    return max(rows, default=None)


def within_published(full: Portion, volume: Estimate, facts: Facts, *, bath: bool = False) -> None:
    """More than three times the highest published level is refused, whoever asked for it.

    Raises
    ------
    Refused
        Naming the published span.
    """
    for active in actives_of(full.amounts, volume, facts, bath=bath):
        if active.published is not None:
            refuse_if_beyond(active.level.value, active.level_unit, active.published)


SAME = 1e-9
ROUNDED = "the known course; only rounding to what can be measured lies between"


def peaks_of(
    doses: tuple[DosePlan, ...], aimed: Mapping[str, float], wanted: Mapping[str, float], facts: Facts
) -> dict[str, Span]:
    """The highest level of each active in the whole course: low, likely, high."""
    peaks: dict[str, Span] = {}
    for dose in doses:
        for active, peak in dose.peaks.items():
            if active not in peaks or peak.value > peaks[active][1]:
                level = aimed[active]
                # Put back to within what can be measured, it stands where the first dose put it.
                level_again = level < peak.value <= level * NO_CLIMB
                value = level if level_again else _known(active, wanted[active], peak.value, facts)
                peaks[active] = (peak.low, value, peak.high)
    return peaks


def aimed_at(full: Portion, volume: Estimate, facts: Facts) -> dict[str, float]:
    """Level that a full dose aims at, by active.

    A dose that only the rounding to what can be measured puts over a known course counts as that course, up
    to 5 %. One that was asked for above it is above it.
    """
    wanted = wanted_of(full, volume)
    return {s: _known(s, wanted[s], x / volume.value, facts) for s, x in full.amounts.items()}


def wanted_of(full: Portion, volume: Estimate) -> dict[str, float]:
    """Level that was wanted, before the rounding to what can be measured, by active."""
    return {s: x / full.measured.factor / volume.value for s, x in full.amounts.items()}


def _known(active: str, wanted: float, made: float, facts: Facts) -> float:
    rows = usual(active, "water", facts)
    known = [line for line, _ in (*rows.published, *rows.practised, *rows.recalled)]
    most = wanted * (1 - SAME)  # the same number, worked out by another way, is not above
    return max((line for line in known if most <= line < made <= line * NO_CLIMB), default=made)


def judged(plan: Plan, laid: Laid, facts: Facts) -> tuple[tuple[Limit, ...], tuple[Verdict, ...]]:
    """Limits of all who live there, and everybody against the highest level of the whole course."""
    made: list[Limit] = []
    bears: list[Verdict] = []
    aimed = aimed_at(plan.full, plan.water.volume_l, facts)
    wanted = wanted_of(plan.full, plan.water.volume_l)
    for active, span in peaks_of(laid.doses, aimed, wanted, facts).items():
        hours = _hours(active, span[1], plan, laid, facts)
        rows = _limits(active, hours, plan, facts)
        made += rows
        bears += judge_levels(rows, {active: span}, hours, facts)
    return tuple(made), tuple(bears)


def _hours(active: str, peak: float, plan: Plan, laid: Laid, facts: Facts) -> float:
    if not plan.timing.through:
        return plan.timing.stand_h
    return exposure_h(active, peak, list(laid.acts), laid.ends, plan.water, facts)


def _limits(active: str, hours: float, plan: Plan, facts: Facts) -> tuple[Limit, ...]:
    s = plan.chosen.situation
    return limits(active, s.stock, facts, hours=hours, not_there=s.not_there, trials=s.trials)


def by_ceilings(doses: tuple[DosePlan, ...], facts: Facts) -> tuple[Reason, ...]:
    """Warnings of ceilings; a peak above one is refused.

    Raises
    ------
    Refused
        Naming the ceiling.
    """
    found = [ceiling(s, peak.value, facts) for dose in doses for s, peak in dose.peaks.items()]
    refuse(tuple(dict.fromkeys(c.reason for c in found if c.says == "refuse" and c.reason)))
    return tuple(dict.fromkeys(c.reason for c in found if c.says == "warn" and c.reason))


def judge_supply(
    request: CourseRequest, supply: Supply | None, volume: Estimate, facts: Facts, made: tuple[Limit, ...]
) -> LabelVerdict | None:
    """The label's own rule against this water, where it has one."""
    if supply is None or supply.rule is None:
        return None
    return judge_label(
        supply, volume, facts, temp_c=request.temp_c, light_h=request.tank.light_h, limits=made
    )


def level_answer(laid: Laid, volume: Estimate, aimed: Mapping[str, float]) -> Answer | None:
    """How strong the first dose makes the water."""
    if not laid.doses or not laid.doses[0].actives:
        return None
    work = Working()
    first = laid.doses[0].actives[0]
    parts = [d.actives[0] for d in laid.doses if d.number == 1 and d.kind != "put-back"]
    level = Estimate(*(sum(getattr(a.level, end) for a in parts) for end in ("value", "low", "high")))
    work.step("volume", "water of the tank", volume.value, "L")
    work.step("amount", "of the active", sum(a.amount for a in parts), first.amount_unit)
    value = work.step("level", "amount ÷ volume", level.value, first.level_unit)
    counts = aimed.get(first.substance, value)
    if counts < value * (1 - SAME):
        work.step("counts as", ROUNDED, counts, first.level_unit)
    return answer(value, first.level_unit, work, low=level.low, high=level.high, says="{shown}.")


def _extra(asked: Asked, timing: Timing, laid: Laid) -> list[Reason]:
    """Cautions that belong to this very plan."""
    found = []
    if timing.published is not None and timing.published > timing.doses:
        found.append(_fewer(timing))
    if any(b.apart for b in laid.put_back):
        found.append(APART)
    if asked.unnamed:
        found.append(UNNAMED)
    elif asked.unknown:
        found.append(_unknown(asked.unknown))
    if any(d.measured.tool == "none" for d in laid.doses):
        found.append(TOO_LITTLE)
    return found


def _unknown(named: tuple[str, ...]) -> Reason:
    return Reason(
        kind="unknown-active",
        because=f"The label also names {', '.join(named)}: not known here. Nobody can say what it does in "
        "this water or who bears it; only the label's own rule can be followed.",
        would_change="another packet, whose actives are all known",
    )


def _fewer(timing: Timing) -> Reason:
    return Reason(
        kind="fewer-rounds",
        because=f"The published course has {timing.published} doses; this plan stops at {timing.doses}. Look "
        "again then, and neither stop earlier nor go on without end.",
    )


APART = Reason(
    kind="packet-apart",
    because="Its actives fade at different rates: this packet can no longer hold both. The plan puts back by "
    "the one that needs least.",
    would_change="a packet of one active alone",
)
TOO_LITTLE = Reason(
    kind="cannot-be-measured",
    because="Nothing you own measures so little of it.",
    would_change="a scale with a finer step, or a packet or solution of known strength",
)
UNNAMED = Reason(
    kind="no-actives",
    because="The label names no active: only its own rule can be followed, and nobody can say how strong "
    "that is or who bears it.",
    would_change="ask the maker what is in it and how much",
)
