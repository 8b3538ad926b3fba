"""A course laid by its shape: each dose, change and siphoning at its own hour."""

from __future__ import annotations

from datetime import datetime

from tankward.judge.urgent import CARBON_LEAVES
from tankward.knowledge.known import Facts
from tankward.quantities.faults import Reason
from tankward.room.acts import Feed, LookAgain
from tankward.room.time import add_hours

from .dates import MOST_ROUNDS, Timing
from .heat import ramp
from .put_back import put_back
from .shape import Given, Meant, Shape
from .steps import Steps, air_and_calm, carbon_in, carbon_out, dead_out, exactly, read_water, siphon
from .tank import Laid, Laying, Plan, again, changed, dosed, wants_dark

SALT_DOWN = "salt-down"


def timing_of(shape: Shape, published: Timing) -> Timing:
    """The shape's own times, beside what was published and what the label says."""
    hours = [d.at_h for d in shape.doses] or [0.0]
    every = hours[1] - hours[0] if len(hours) > 1 else shape.end_h
    return Timing(
        doses=shape.rounds, every_h=every, stand_h=shape.end_h - hours[-1], through=True,
        published=published.published, label=published.label,
    )  # fmt: skip


def too_often(shape: Shape, timing: Timing) -> tuple[Reason, ...]:
    """At most the label's number and never more than three (safety rule 12)."""
    most = min(MOST_ROUNDS, timing.label or MOST_ROUNDS)
    if shape.rounds <= most:
        return ()
    return (
        Reason(
            kind="too-many-rounds",
            because=f"It would be given {shape.rounds} times; {most} is the most.",
            would_change=f"{most} or fewer, then look again",
        ),
    )


def lay_shaped(steps: Steps, plan: Plan, shape: Shape, facts: Facts) -> Laid:
    """All steps of a shape, in order of time; what is done at one instant in the order of safety rule 13."""
    _before(steps, plan, shape, facts)
    so_far = Laying(acts=[], doses=[], backs=[])
    hours = {*(d.at_h for d in shape.doses), *(c.at_h for c in shape.changes), *shape.siphons}
    for hour in sorted(hours):
        _at(steps, plan, shape, hour, so_far, facts)
    ends = add_hours(plan.start, shape.end_h)
    _after(steps, plan, shape, ends)
    return Laid(doses=tuple(so_far.doses), put_back=tuple(so_far.backs), ends=ends, acts=tuple(so_far.acts))


def _before(steps: Steps, plan: Plan, shape: Shape, facts: Facts) -> None:
    at = plan.start
    read_water(steps, at)
    if not plan.apart:
        dead_out(steps, at)
    air_and_calm(steps, at, wants_dark(plan.chosen, facts))
    if not plan.salt and not plan.apart:
        carbon_out(steps, at)
    if shape.feed != 1.0:
        steps.add(at, "feed-less", Feed(usual=shape.feed), values={"share": exactly(shape.feed, "share")})
    now_c = plan.request.temp_c
    if shape.warm_c is not None and now_c is not None:
        ramp(steps, facts, at, now_c.value, shape.warm_c)


def _at(steps: Steps, plan: Plan, shape: Shape, hour: float, so_far: Laying, facts: Facts) -> None:
    at = add_hours(plan.start, hour)
    if hour in shape.siphons:
        siphon(steps, at)
    share = sum(c.share for c in shape.changes if c.at_h == hour)
    doses = [d for d in shape.doses if d.at_h == hour]
    before = [d for d in shape.doses if d.at_h < hour]
    meant = dict(zip(shape.doses, shape.meant, strict=True))
    if before and any(meant[d] != "raised" for d in doses):
        so_far.backs.append(put_back(so_far.acts, at, share, plan.full, plan.water, facts))
    if share:
        changed(
            steps, plan, at, so_far.acts, share=share, why=_why(plan, shape, hour, bool(doses), bool(before))
        )
    for dose in doses:
        _give(steps, plan, at, dose, meant[dose], len(before) + 1, so_far, facts)


def _why(plan: Plan, shape: Shape, hour: float, doses: bool, before: bool) -> str:
    if hour >= shape.end_h:
        return SALT_DOWN if plan.salt else "after-dose"
    if doses:
        return "before-repeat" if before else "before-dose"
    return "between-doses" if before else "before-dose"


def _give(
    steps: Steps, plan: Plan, at: datetime, dose: Given, meant: Meant, number: int, so_far: Laying,
    facts: Facts,
) -> None:  # fmt: skip
    raised = meant == "raised"
    kind = "full" if dose.factor == 1.0 else "part" if number == 1 or raised else "put-back"
    part = plan.full if dose.factor == 1.0 else again(plan, dose.factor, facts)
    left = so_far.backs[-1] if number > 1 and so_far.backs and not raised else None
    so_far.doses.append(dosed(steps, plan, at, number, kind, part, so_far.acts, facts, left=left))


def _after(steps: Steps, plan: Plan, shape: Shape, ends: datetime) -> None:
    if shape.feed != 1.0:
        steps.add(ends, "feed-usual", Feed(usual=1.0))
    now_c = plan.request.temp_c
    if shape.warm_c is not None and now_c is not None:
        ramp(steps, steps.facts, ends, shape.warm_c, now_c.value)
    if plan.apart:
        steps.add(ends, "fish-back", LookAgain(what="the fish into clean water"))
    elif not plan.salt and not CARBON_LEAVES & {plan.chosen.one.id, *plan.chosen.one.parts}:
        carbon_in(steps, ends)
