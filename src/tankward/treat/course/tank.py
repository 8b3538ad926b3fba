"""A course in the tank: water first, carbon out, change, dose, look; before each repeat put back."""

from __future__ import annotations

from datetime import datetime, timedelta

import msgspec

from tankward.judge.choices import HALF_CHANGE
from tankward.judge.urgent import CARBON_LEAVES
from tankward.knowledge.known import Facts
from tankward.room.acts import AnyAct, Dose, LookAgain
from tankward.room.things import LabelRule
from tankward.room.time import add_hours

from .changes import share_of
from .choice import Chosen
from .dates import DAY_H, Timing
from .dose_worked import dose_answer, dose_values, left_values
from .doses import Portion, part_of, plan_of
from .put_back import Acts, Water, factor_of, peaks_at, put_back
from .records import DosePlan, PutBack
from .request import CourseRequest
from .salt import changed_on, daily_share, salt_steps, wash_out
from .steps import (
    Steps,
    air_and_calm,
    carbon_in,
    carbon_out,
    change,
    dead_out,
    read_water,
    siphon,
    watch,
)

SALT = "salt"


class Laid(msgspec.Struct, frozen=True, kw_only=True):
    """Doses and what to put back, beside the steps."""

    doses: tuple[DosePlan, ...]
    put_back: tuple[PutBack, ...]
    ends: datetime
    acts: tuple[tuple[datetime, AnyAct], ...]


class Plan(msgspec.Struct, frozen=True, kw_only=True):
    """What the steps of a course in the tank are laid from."""

    request: CourseRequest
    chosen: Chosen
    timing: Timing
    full: Portion
    water: Water
    start: datetime
    rule: LabelRule | None
    apart: bool = False  # in a bare tub without a ripe filter

    @property
    def change(self) -> float:
        """Share changed before a repeat: the label's, else half."""
        return (
            HALF_CHANGE.value
            if self.rule is None or self.rule.change_before is None
            else self.rule.change_before
        )

    @property
    def salt(self) -> bool:
        return self.chosen.one.kind == SALT


class Laying(msgspec.Struct, kw_only=True):
    """What has been laid so far; grows dose by dose."""

    acts: Acts = []
    doses: list[DosePlan] = []
    backs: list[PutBack] = []


def lay(steps: Steps, plan: Plan, facts: Facts) -> Laid:
    """All steps of a course, in order (safety rule 13)."""
    before(steps, plan, facts)
    so_far = Laying(acts=[], doses=[], backs=[])
    for number, hours in enumerate(plan.timing.at_h, 1):
        at = add_hours(plan.start, hours)
        ends = add_hours(at, plan.timing.stand_h)
        if number == 1 or not plan.timing.through:
            _anew(steps, plan, at, number, so_far, facts)
        else:
            _repeat(steps, plan, at, number, so_far, facts)
        if plan.apart:
            _tub_days(steps, plan, at, ends, number, so_far, facts)
        elif plan.salt:
            _salt_days(steps, plan, ends, number, so_far, facts)
        if not plan.timing.through or number == plan.timing.doses:
            _after(steps, plan, ends, so_far.acts)
    ends = add_hours(plan.start, plan.timing.end_h)
    return Laid(doses=tuple(so_far.doses), put_back=tuple(so_far.backs), ends=ends, acts=tuple(so_far.acts))


def _anew(steps: Steps, plan: Plan, at: datetime, number: int, so_far: Laying, facts: Facts) -> None:
    """A full dose; a later one after the water was cleared of the first, less what is still in it."""
    if number == 1 or plan.salt:
        so_far.doses += _full(steps, plan, at, number, so_far.acts, facts)
        return
    back = put_back(so_far.acts, at, plan.change, plan.full, plan.water, facts)
    changed(steps, plan, at, so_far.acts, why="before-next")
    carbon_out(steps, at)
    factor = factor_of(back, plan.full)
    part = again(plan, factor, facts) if factor > 0.0 else plan.full
    if factor <= 0.0 or part.measured.amount >= plan.full.measured.amount:
        so_far.doses += _full(steps, plan, at, number, so_far.acts, facts)
        return
    so_far.doses.append(dosed(steps, plan, at, number, "full", part, so_far.acts, facts, left=back))


def changed(
    steps: Steps,
    plan: Plan,
    at: datetime,
    acts: Acts,
    *,
    share: float | None = None,
    why: str = "before-repeat",
) -> None:
    part = plan.change if share is None else share
    change(steps, at, part, plan.request, plan.water.volume_l, why=why)
    acts.append(next((s.at, s.act) for s in reversed(steps.found) if s.kind == "change"))


def _tub_days(
    steps: Steps, plan: Plan, at: datetime, ends: datetime, number: int, so_far: Laying, facts: Facts
) -> None:
    """A tub has no ripe filter: half its water every day, and what that took put back (safety rule 22)."""
    when = at + timedelta(days=1)
    while when <= so_far.acts[-1][0]:
        when += timedelta(days=1)
    while when < ends:
        _repeat(steps, plan, when, number, so_far, facts)
        when += timedelta(days=1)


def _salt_days(steps: Steps, plan: Plan, ends: datetime, number: int, so_far: Laying, facts: Facts) -> None:
    """In the tank salt stays and waste does not: every few days a part, and its salt back."""
    share = daily_share(facts)
    for when in changed_on(so_far.acts[-1][0], ends):
        siphon(steps, when)
        _repeat(steps, plan, when, number, so_far, facts, share=share, why="salt-stays")


def before(steps: Steps, plan: Plan, facts: Facts) -> None:
    """Before the first dose: the readings, the dead, air, carbon, a change, the floor."""
    at = plan.start
    read_water(steps, at)
    if plan.apart:
        air_and_calm(steps, at, wants_dark(plan.chosen, facts))
        return
    dead_out(steps, at)
    air_and_calm(steps, at, wants_dark(plan.chosen, facts))
    if not plan.salt:
        carbon_out(steps, at)
    choice = share_of(plan.request)
    siphon(steps, at)
    change(steps, at, choice.value, plan.request, plan.water.volume_l, why="before-dose", choice=choice)


def wants_dark(chosen: Chosen, facts: Facts) -> bool:
    """Where a rule of light says so: dyes and tetracyclines bleach."""
    pairs = [p for p in facts.tables.pair if p.b == "condition:light"]
    named = {p.a for p in pairs} | {"methylene_blue", "malachite_green", "acriflavine"}
    return bool({chosen.one.id, *chosen.one.parts} & named)


def _full(steps: Steps, plan: Plan, at: datetime, number: int, acts: Acts, facts: Facts) -> list[DosePlan]:
    """A full dose; salt is raised a step a day.

    That is slower than the change limit of twelve hours asks: over a day or two, as published, and at the
    keeper's own hour. In a tub part of the water goes before each later step, and what it took comes with it.
    """
    pieces = salt_steps(plan.full, plan.water.volume_l, facts) if plan.salt else 1
    found = []
    for n in range(pieces):
        when = at + timedelta(hours=DAY_H * n)
        if n and plan.apart:
            changed(steps, plan, when, acts)
        lost = n * plan.change if plan.apart else 0.0
        part = plan.full if pieces == 1 else again(plan, (1.0 + lost) / pieces, facts)
        found.append(dosed(steps, plan, when, number, "full" if pieces == 1 else "part", part, acts, facts))
    return found


def again(plan: Plan, factor: float, facts: Facts) -> Portion:
    """A part of the full dose, measured anew."""
    return part_of(plan.chosen, plan.full, factor, plan.request.kit, facts)


def dosed(
    steps: Steps,
    plan: Plan,
    at: datetime,
    number: int,
    kind: str,
    given: Portion,
    acts: Acts,
    facts: Facts,
    *,
    left: PutBack | None = None,
) -> DosePlan:
    supply = plan.chosen.supply
    act = Dose(actives=given.amounts, supply=supply.id if supply else "", units=given.units)
    acts.append((at, act))
    peaks = peaks_at(tuple(given.amounts), acts, at, plan.water, facts)
    found = plan_of(at, number, kind, given, plan.water.volume_l, facts, peaks)
    steps.add(
        at,
        "put-back" if kind == "put-back" else "dose",
        act,
        values=dose_values(found, peaks) | left_values(left, facts),
        amount=dose_answer(found, plan.water.volume_l, left),
        measured=given.measured,
        hazard=True,
    )
    watch(steps, at)
    return found


def _repeat(
    steps: Steps,
    plan: Plan,
    at: datetime,
    number: int,
    so_far: Laying,
    facts: Facts,
    *,
    share: float | None = None,
    why: str = "before-repeat",
) -> None:
    """The change; then what brings each active back."""
    part_changed = plan.change if share is None else share
    back = put_back(so_far.acts, at, part_changed, plan.full, plan.water, facts)
    so_far.backs.append(back)
    if part_changed > 0.0:
        changed(steps, plan, at, so_far.acts, share=part_changed, why=why)
    factor = factor_of(back, plan.full)
    if factor > 0.0:
        part = again(plan, factor, facts)
        so_far.doses.append(dosed(steps, plan, at, number, "put-back", part, so_far.acts, facts))


def _after(steps: Steps, plan: Plan, at: datetime, acts: Acts) -> None:
    """After a dose has stood: the change and the carbon; salt is washed out day by day."""
    if plan.apart:
        steps.add(at, "fish-back", LookAgain(what="the fish into clean water"))
        return
    if plan.salt:
        wash_out(steps, at, plan.request, plan.water.volume_l)
        return
    siphon(steps, at)
    change(
        steps, at, HALF_CHANGE.value, plan.request, plan.water.volume_l, why="after-dose", choice=HALF_CHANGE
    )
    if not CARBON_LEAVES & {plan.chosen.one.id, *plan.chosen.one.parts}:
        carbon_in(steps, at)
    last: tuple[datetime, AnyAct] = next((s.at, s.act) for s in reversed(steps.found) if s.kind == "change")
    acts.append(last)
