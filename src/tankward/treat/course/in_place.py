"""Remedies without medicine that leave the fish where they are: daily siphon and change; wait and count."""

from __future__ import annotations

import math
from datetime import datetime, timedelta

from tankward.judge.choices import ACID_PH, SMALL_CHANGE
from tankward.knowledge.known import Facts
from tankward.knowledge.records.organism import Organism
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer
from tankward.room.acts import LookAgain, Siphon
from tankward.treat.remedies.records import Option
from tankward.treat.remedies.transfers import USUAL_C

from .fish_out import LONGEST_D, Knobs
from .records import Without
from .request import CourseRequest
from .steps import HALF_FLOOR, Steps, air_and_calm, change, dead_out, exactly, read_water
from .tubs import WHOLE_FLOOR
from .watching import cycle_d

LEAST_D, MOST_D = 7.0, 28.0  # of daily siphoning, unless asked otherwise [our own choice]
WAIT_D = 7.0  # where the remedy has no figure of its own
PER_CENT = 100.0


def siphoned(request: CourseRequest, option: Option, organisms: list[Organism], knobs: Knobs) -> Without:
    """For how many days, how much of floor and water each day."""
    share, floor = knobs.change_share, knobs.siphon
    if share is not None and not 0 < share <= 0.5:
        raise BadInput("change", f"{share:g}", "lies outside 0 to 50 % a day: it is done every day.")
    if floor is not None and not 0 <= floor <= 1:
        raise BadInput("siphon", f"{floor:g}", "lies outside 0 to all of the floor.")
    bare = request.tank.substrate_cm <= 0 and request.tank.length_cm is not None
    return Without(
        days=_within(knobs.days or _cycle(organisms, request)),
        change_share=share or _share(request, option),
        siphon=(WHOLE_FLOOR if bare else HALF_FLOOR) if floor is None else floor,
    )


def _cycle(organisms: list[Organism], request: CourseRequest) -> float:
    """One round of the slowest, a week at least and four at most."""
    t = request.temp_c or Estimate.exact(USUAL_C)
    rounds = [days[1] for o in organisms if (days := cycle_d(o, t)) is not None]
    return min(MOST_D, max(LEAST_D, math.ceil(max(rounds, default=LEAST_D))))


def _share(request: CourseRequest, option: Option) -> float:
    """The middle of the remedy's span; less where the water is acid or its pH not known (safety rule 17)."""
    row = next((n for n in option.figures if n.id == "change"), None)
    usual = SMALL_CHANGE.value if row is None else (row.low + row.high) / 2 / PER_CENT
    ph = request.water.of("ph") if request.water else None
    return min(usual, SMALL_CHANGE.value) if ph is None or ph.value < ACID_PH.value else usual


def _within(days: float) -> float:
    if not 1 <= days <= LONGEST_D:
        raise BadInput("days", f"{days:g}", f"lies outside 1 to {LONGEST_D:g} days.")
    return days


def lay_siphon(
    key: str, request: CourseRequest, laid: Without, volume_l: Estimate, start: datetime, facts: Facts
) -> tuple[Steps, datetime]:
    """Every day: the floor, then new water."""
    steps = Steps(key, facts)
    read_water(steps, start)
    dead_out(steps, start)
    air_and_calm(steps, start, dark=False)
    for day in range(round(laid.days)):
        at = start + timedelta(days=day)
        if laid.siphon:
            steps.add(at, "siphon", Siphon(floor_share=laid.siphon), how="siphon-daily", why="siphon-daily",
                      values={"floor": exactly(laid.siphon, "share")})  # fmt: skip
        change(steps, at, laid.change_share, request, volume_l, why="siphon-daily")
    return steps, start + timedelta(days=round(laid.days))


def waited(option: Option, knobs: Knobs) -> Without:
    """For how many days nothing is done."""
    row = next((n for n in option.figures if n.id == "days"), None)
    return Without(days=_within(knobs.days or (row.high if row else WAIT_D)))


def lay_wait(key: str, laid: Without, told: Answer, start: datetime, facts: Facts) -> tuple[Steps, datetime]:
    """Counted now and counted again; between the two nothing goes into the water."""
    steps = Steps(key, facts)
    read_water(steps, start)
    steps.add(start, "count", LookAgain(what="how many show it, who eats, back and belly"), amount=told)
    half = start + timedelta(days=round(laid.days) // 2)
    if half > start:
        steps.add(half, "count-between", LookAgain(what="is one worse"))
    return steps, start + timedelta(days=round(laid.days))
