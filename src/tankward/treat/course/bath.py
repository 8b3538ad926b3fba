"""A timed bath or dip, and a course in a tub of its own: the tank's water meets nothing of it."""

from __future__ import annotations

from datetime import datetime, timedelta

from msgspec.structs import replace

from tankward.judge.limits import limits
from tankward.judge.verdicts import judge_levels, refused, worst
from tankward.quantities.faults import BadInput, Reason
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer, Working, answer
from tankward.room.acts import Bath, LookAgain
from tankward.room.things import Stock
from tankward.room.time import add_hours
from tankward.room.weight import stock_g

from .asked import Asked
from .choice import refuse
from .dates import by_regimen
from .dose_worked import packet_answer
from .doses import Portion, plan_of, portion
from .finish import finished
from .in_tank import tank_course, within_published
from .records import Course, DosePlan, Recipe, Valued
from .steps import Steps, estimate, exactly, read_water
from .tubs import USUAL_TUB_L, back, over

FIRST_TIME = 0.5  # safety rule 2: half of the published time the first time
MIN_PER_H = 60.0
LIMIT_ROUTE = "bath"


def bath_course(asked: Asked) -> Course:
    """Fish in a tub of dosed water for some minutes, watched all the time."""
    if asked.chosen.regimen.route == "water_long":
        return tub_course(asked)
    who = who_goes(asked)
    tub = tub_of(asked, who)
    chosen, facts = asked.chosen, asked.facts
    given = portion(chosen, tub.value, asked.request.kit, facts, level=asked.level, units=asked.units)
    within_published(given, tub, facts, bath=True)
    timing = by_regimen(chosen.regimen)
    first, longest = minutes_of(asked)
    steps = Steps(asked.key, facts, chosen.option.people)
    read_water(steps, asked.start)
    doses: list[DosePlan] = []
    for number, hours in enumerate(timing.at_h, 1):
        minutes = first if number == 1 else longest
        doses.append(_bath(steps, asked, given, tub, who, add_hours(asked.start, hours), number, minutes))
    hours = longest / MIN_PER_H
    made = tuple(
        limit
        for a in given.amounts
        for limit in limits(a, who, facts, route=LIMIT_ROUTE, hours=hours, not_there=("fry", "egg"))
    )
    levels = {a: (x / tub.value, x / tub.value, x / tub.value) for a, x in given.amounts.items()}
    bears = judge_levels(made, levels, hours, facts)
    refuse(refused(bears))
    ends = add_hours(asked.start, timing.at_h[-1] + hours)
    return finished(
        asked, steps, ends, timing=timing, volume_l=tub, level=tub_level(doses[0], tub), doses=tuple(doses),
        limits=made, bears=bears, jar_trial=worst(bears) == "unknown",
        recipe=Recipe(kind="bath", tub_l=tub.value, minutes=(first, longest)),
    )  # fmt: skip


def who_goes(asked: Asked) -> tuple[Stock, ...]:
    """Those named; else all fish that bear it.

    Raises
    ------
    BadInput
        If one named is not in the tank.
    Refused
        If one named must not go in.
    """
    option, fish = asked.chosen.option, asked.chosen.situation.fish
    here = {s.id: s for s in fish}
    for name in asked.stock_ids:
        if name not in here:
            raise BadInput("stock", name, "is no fish of this tank.")
    out = [here[s] for s in asked.stock_ids if s in option.left_out]
    refuse(tuple(_not_in(s) for s in out))
    wanted = asked.stock_ids or tuple(s for s in here if s not in option.left_out)
    if not wanted:
        raise BadInput("stock", "", "is missing: no fish of this tank can go into the tub.")
    return tuple(here[s] for s in wanted)


def _not_in(stock: Stock) -> Reason:
    return Reason(
        kind="left-out",
        because=f"{stock.name} must not go in.",
        would_change="leave them out; they need another way",
        who=(stock.name,),
    )


def tub_of(asked: Asked, who: tuple[Stock, ...]) -> Estimate:
    """The tub's water: as said; else the smallest bucket with room for the fish; else ten litres."""
    if asked.tub_l is not None:
        return Estimate.exact(asked.tub_l)
    weights = [stock_g(s, asked.facts) for s in who]
    grams = sum(w.value for w in weights if w is not None)
    row = next(r for r in asked.facts.hygiene.stocking if r.id == "hospital")
    need = grams / (row.high or 1.0)
    buckets = sorted(b for b in asked.request.kit.buckets_l if b >= need)
    return Estimate.exact(buckets[0] if buckets else max(USUAL_TUB_L, round(need)))


def minutes_of(asked: Asked) -> tuple[float, float]:
    """Minutes of the first bath and of the others.

    Raises
    ------
    BadInput
        If no time was published: without one there is no bath.
    """
    regimen = asked.chosen.regimen
    if regimen.duration_h_high is None:
        raise BadInput("regimen", regimen.id, "has no published time. Without one it is not used.")
    shortest = regimen.duration_h_low or regimen.duration_h_high
    return shortest * MIN_PER_H * FIRST_TIME, shortest * MIN_PER_H


def _bath(
    steps: Steps,
    asked: Asked,
    given: Portion,
    tub: Estimate,
    who: tuple[Stock, ...],
    at: datetime,
    number: int,
    minutes: float,
) -> DosePlan:
    """One bath: the tub made ready, the fish in, watched, out."""
    found = plan_of(at, number, "full", given, tub, asked.facts, {}, bath=True)
    litres = exactly(tub.value, "L", status="common-practice")
    steps.add(at, "bath-ready", LookAgain(what="the tub, air, a bowl of clean water"), values={"tub": litres})
    values: dict[str, Valued | str] = {
        "minutes": exactly(minutes, "min", asked.chosen.regimen.source, asked.chosen.regimen.status),
        "tub": litres,
        "who": ", ".join(s.name for s in who),
    }
    for active in found.actives:
        values[f"level {active.substance}"] = estimate(active.level, active.level_unit)
    act = Bath(
        actives=given.amounts, volume_l=tub.value, minutes=minutes, stock=who[0].id if len(who) == 1 else "",
        share=_share(who, asked),
    )  # fmt: skip
    amount = tub_amount(found, tub)
    steps.add(at, "bath", act, values=values, amount=amount, measured=given.measured, hazard=True)
    out = at + timedelta(minutes=minutes)
    steps.add(out, "bath-out", LookAgain(what="the fish into clean water"), values=values)
    return found


def _share(who: tuple[Stock, ...], asked: Asked) -> float | None:
    """Of all fish of the tank, by their mass; None where all go in. What nobody can weigh counts by heads."""
    fish = asked.chosen.situation.fish
    if len(who) == len(fish):
        return None
    weights = {s.id: grams.value for s in fish if (grams := stock_g(s, asked.facts)) is not None}
    each = weights if len(weights) == len(fish) else {s.id: s.number.value for s in fish}
    return sum(each[s.id] for s in who) / max(sum(each.values()), 1e-9)


def tub_amount(found: DosePlan, tub: Estimate) -> Answer:
    """How much goes into the tub."""
    work = Working("only the water of the tub counts, not the tank's")
    active = found.actives[0]
    work.step("tub", "water of the tub", tub.value, "L", status="common-practice")
    work.step("level", "of the bath", active.level.value, active.level_unit)
    work.step("amount", "level × tub", active.amount, active.amount_unit)
    if found.units is not None:
        return packet_answer(found, work)
    return answer(active.amount, active.amount_unit, work, says="{shown}.")


def tub_level(found: DosePlan, tub: Estimate) -> Answer:
    """How strong the bath is."""
    work = Working("only the water of the tub counts, not the tank's")
    active = found.actives[0]
    work.step("amount", "of the active", active.amount, active.amount_unit)
    work.step("tub", "water of the tub", tub.value, "L", status="common-practice")
    value = work.step("level", "amount ÷ tub", active.level.value, active.level_unit)
    return answer(value, active.level_unit, work, says="{shown}.")


def tub_course(asked: Asked) -> Course:
    """A course left in the water, for the fish alone in a bare tub without a ripe filter."""
    who = who_goes(asked)
    tub = tub_of(asked, who)
    request = replace(
        asked.request,
        volume_l=tub,
        stock=who,
        still_in={},
        not_there=("fry", "egg"),
        tank=replace(asked.request.tank, filter="none", light_h=None),
    )
    chosen = replace(
        asked.chosen, situation=replace(asked.chosen.situation, stock=who, not_there=("fry", "egg"))
    )
    found = tank_course(replace(asked, request=request, chosen=chosen, apart=True))
    stay = ", ".join(s.name for s in asked.chosen.situation.fish if s not in who)
    there, home = Steps(f"{asked.key}-tub", asked.facts), Steps(f"{asked.key}-tub", asked.facts)
    for at in _overs(found, asked.start):
        over(there, at, who, tub.value)
    for at in _backs(found):
        back(home, at, who, stay=stay)
    rest = [replace(s, tub=s.kind not in OF_THE_TANK) for s in found.steps if s.kind != "fish-back"]
    steps = sorted((*there.done(), *rest, *home.done()), key=lambda s: s.at)
    return replace(found, steps=tuple(steps), place="tub", recipe=Recipe(kind="bath", tub_l=tub.value))


OF_THE_TANK = ("read-water", "decide", "look")  # of a course in a tub


def _backs(found: Course) -> list[datetime]:
    """When the fish go back into the tank: after each dose that has stood, where they are apart."""
    return [s.at for s in found.steps if s.kind == "fish-back"]


def _overs(found: Course, start: datetime) -> list[datetime]:
    """When they go into the tub: at the beginning, and for each dose that comes after they went back."""
    doses = [s.at for s in found.steps if s.kind == "dose"]
    again = [next((d for d in doses if d > at), None) for at in _backs(found)]
    return [start, *(at for at in again if at is not None)]
