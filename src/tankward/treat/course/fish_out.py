"""Fish out: all fish into bare tubs, moved before anything can hatch; their tank stands without fish."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import datetime, timedelta

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.organism import Organism
from tankward.knowledge.records.remedy import RemedyFigure
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer
from tankward.room.acts import LookAgain, Transfer
from tankward.room.things import Stock
from tankward.room.time import add_hours
from tankward.treat.husbandry.tub import TubPlan
from tankward.treat.remedies.records import Option
from tankward.treat.remedies.transfers import USUAL_C, empty_days

from .changes import litres_of
from .records import Valued, Without
from .request import CourseRequest
from .steps import Steps, dead_out, exactly
from .tubs import back, fed, filled, grams_of, half_changed, kept, litres_for, over
from .without_worked import days_worked, tub_worked

DAY_H = 24.0
SHORTEST_H, LONGEST_D = 2.0, 120.0  # between two moves; in all
FISH_OUT = "fish_out"
EMPTY_DAYS = "empty_days"


class Knobs(msgspec.Struct, frozen=True, kw_only=True):
    """What is asked of it; None: as the facts say."""

    days: float | None = None
    every_h: float | None = None
    move_days: float | None = None
    tub_l: float | None = None
    food: float | None = None
    change_share: float | None = None
    siphon: float | None = None


class Laid(msgspec.Struct, frozen=True, kw_only=True):
    """What was laid out, with how the tub is kept and how its numbers were come by."""

    found: Without
    plan: TubPlan
    days: Answer
    tub: Answer


def laid_out(
    request: CourseRequest,
    option: Option,
    organisms: list[Organism],
    fish: Sequence[Stock],
    knobs: Knobs,
    facts: Facts,
) -> Laid:
    """How long, how often moved, in which tubs."""
    told = {n.id: n.high for n in option.figures}
    every = told.get("move_every_h", 0.0) if knobs.every_h is None else knobs.every_h
    if every and every < SHORTEST_H:
        raise BadInput("every", f"{every:g} h", f"is too short for the fish. Write {SHORTEST_H:g} h or more.")
    days = knobs.days or _empty(organisms, request, facts)
    move_days = (knobs.move_days or told.get("move_days", 0.0)) if every else 0.0
    days = max(days, move_days)
    if days > LONGEST_D:
        raise BadInput("days", f"{days:g}", f"is more than {LONGEST_D:g} days.")
    grams = grams_of(fish, facts)
    tub_l = knobs.tub_l or litres_for(grams, request, facts)
    if knobs.tub_l is None and request.volume_l is not None:
        tub_l = min(tub_l, float(round(request.volume_l.value)))  # no larger than what they have now
    plan = kept(grams, tub_l, request, facts, food=knobs.food)
    moves = max(0, math.floor(move_days * DAY_H / every + 1e-9) - 1) if every else 0
    found = Without(
        days=days, every_h=every, move_days=move_days, moves=moves, tub_l=tub_l,
        tub_change_d=plan.wait_days, food_g=plan.food_mg_day / 1000.0, who=tuple(s.id for s in fish),
        nh3_n_mg_l=plan.nh3_n_high_mg_l,
    )  # fmt: skip
    return Laid(
        found=found,
        plan=plan,
        days=days_worked(found, option, organisms, _usual(facts), request, asked=knobs.days is not None),
        tub=tub_worked(grams, tub_l, facts, asked=knobs.tub_l is not None),
    )


def _usual(facts: Facts) -> RemedyFigure:
    return next(f for f in facts.remedies[FISH_OUT].figure if f.id == EMPTY_DAYS)


def _empty(organisms: list[Organism], request: CourseRequest, facts: Facts) -> float:
    row = _usual(facts)
    days = row.span[1] if row.span else 0.0
    return float(empty_days(organisms, request.temp_c, days, row.temp_low_c or USUAL_C))


def lay(
    key: str,
    request: CourseRequest,
    made: Laid,
    fish: Sequence[Stock],
    start: datetime,
    facts: Facts,
) -> tuple[Steps, Steps, datetime]:
    """The steps in the tank, the steps in the tub, and when the fish are back."""
    laid, tank, tub = made.found, Steps(key, facts), Steps(f"{key}-tub", facts, tub=True)
    ends = add_hours(start, laid.days * DAY_H)
    _first(tank, tub, request, made, fish, start)
    _fed(tub, made.plan, start, ends)
    _moved(tub, request, laid, start)
    _changed(tub, request, laid, start, ends)
    tank.add(ends, "read-water", LookAgain(what="ammonia, nitrite, pH, temperature"), how="read-empty",
             why="read-empty")  # fmt: skip
    back(tank, ends, fish, how="fish-home")
    return tank, tub, ends


def _first(
    tank: Steps, tub: Steps, request: CourseRequest, made: Laid, fish: Sequence[Stock], start: datetime
) -> None:
    laid = made.found
    dead_out(tank, start)
    litres = exactly(laid.tub_l, "L", status="common-practice")
    two: dict[str, Valued | str] = {"tub": litres, "tubs": exactly(2.0 if laid.moves else 1.0)}
    tub.add(start, "tubs-ready", LookAgain(what="tubs, air, covers, cups"), values=two, amount=made.tub)
    filled(tub, start, request, laid.tub_l)
    over(tank, start, fish, laid.tub_l, how="fish-out")
    days: dict[str, Valued | str] = {"days": exactly(laid.days, "d")}
    empty = LookAgain(what="no fish is left in the tank")
    tank.add(start, "tank-empty", empty, values=days, amount=made.days)


def _moved(tub: Steps, request: CourseRequest, laid: Without, start: datetime) -> None:
    for number in range(1, laid.moves + 1):
        at = add_hours(start, number * laid.every_h)
        filled(tub, at, request, laid.tub_l)
        values: dict[str, Valued | str] = {
            "number": exactly(float(number)), "of": exactly(float(laid.moves)),
            "tub": exactly(laid.tub_l, "L", status="common-practice"),
            "hours": exactly(laid.every_h, "h"),
        }  # fmt: skip
        act = Transfer(volume_l=laid.tub_l, dechlorinated=True)
        tub.add(at, "transfer", act, values=values, amount=litres_of(Estimate.exact(laid.tub_l), 1.0))


def _fed(tub: Steps, plan: TubPlan, start: datetime, ends: datetime) -> None:
    """Every day but the first; just before a move, where one falls on that hour."""
    day = 1
    while (at := start + timedelta(days=day)) < ends:
        fed(tub, at, plan, day)
        day += 1


def _changed(tub: Steps, request: CourseRequest, laid: Without, start: datetime, ends: datetime) -> None:
    """Half of the tub each so many days, once they are no longer moved; at the hour at which it all began."""
    due_d = laid.moves * laid.every_h / DAY_H + laid.tub_change_d
    at = add_hours(start, DAY_H * (math.floor(due_d) if laid.tub_change_d >= 1 else due_d))
    while at < ends:
        half_changed(tub, at, request, laid.tub_l)
        at = add_hours(at, laid.tub_change_d * DAY_H)
