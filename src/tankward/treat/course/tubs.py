"""The tub beside a tank: its water for the fish that go in, their food, what is changed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from msgspec.structs import replace

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.acts import Apart, Change, Feed, Siphon
from tankward.room.things import Stock
from tankward.room.weight import adult_length, stock_g
from tankward.treat.husbandry.tub import HALF, TubPlan, tub_plan

from .changes import litres_of, needs_dechlorinator
from .records import Valued
from .request import CourseRequest
from .steps import Steps, dechlorinate, exactly

USUAL_TUB_L = 10.0  # a bucket [common practice]
WHOLE_FLOOR = 1.0
MG_PER_G = 1000.0


def grams_of(who: Sequence[Stock], facts: Facts) -> Estimate:
    """What they weigh together; as long as their kind grows where no length is known. [g]

    Raises
    ------
    BadInput
        For a group of which nothing tells how large they are: it does not count as nothing.
    """
    found = [stock_g(_sized(s, facts), facts) for s in who]
    for stock, grams in zip(who, found, strict=True):
        if grams is None:
            raise BadInput("stock", stock.name, "has no length, so nobody can say how large a tub they need.")
    known = [g for g in found if g is not None]
    return Estimate(sum(g.value for g in known), sum(g.low for g in known), sum(g.high for g in known))


def _sized(stock: Stock, facts: Facts) -> Stock:
    animal = facts.animals.get(stock.kind)
    if stock.length_cm is not None or stock.mass_g is not None or animal is None:
        return stock
    return replace(stock, length_cm=adult_length(animal))


def litres_for(grams: Estimate, request: CourseRequest, facts: Facts) -> float:
    """The smallest bucket of the keeper with room for so many grams of fish; else so many litres. [L]"""
    row = next(r for r in facts.hygiene.stocking if r.id == "hospital")
    need = grams.value / (row.high or 1.0)
    buckets = sorted(b for b in request.kit.buckets_l if b >= need)
    return buckets[0] if buckets else max(USUAL_TUB_L, float(round(need)))


def kept(
    grams: Estimate, tub_l: float, request: CourseRequest, facts: Facts, *, food: float | None = None
) -> TubPlan:
    """How such a tub is kept: its food, its ammonia, how often half is changed (safety rule 22).

    `food`: dry food a day as share of their weight; None: 1 %.
    """
    read = {q: found.value for q in ("ph", "temp_c") if (found := _read(request, q)) is not None}
    plan, _ = tub_plan(grams.high * MG_PER_G, tub_l, food, None, read.get("ph"), read.get("temp_c"), facts)
    return plan


def _read(request: CourseRequest, quantity: str) -> Estimate | None:
    found = request.water.of(quantity) if request.water else None
    return None if found is None else Estimate(found.value, found.low, found.high)


def over(steps: Steps, at: datetime, who: Sequence[Stock], tub_l: float, *, how: str = "fish-over") -> None:
    """Each group into the tub. The tank's own steps: it is the tank that they leave."""
    for stock in who:
        values: dict[str, Valued | str] = {
            "who": stock.name, "tub": exactly(tub_l, "L", status="common-practice")
        }  # fmt: skip
        steps.add(at, "fish-over", Apart(stock=stock.id, volume_l=tub_l), how=how, why=how, values=values)


def back(steps: Steps, at: datetime, who: Sequence[Stock], *, how: str = "fish-back", stay: str = "") -> None:
    """Each group out of the tub, into the tank."""
    row = next(r for r in steps.facts.hygiene.change_limit if r.id == "t_fish")
    near = exactly(row.high or 0.0, row.unit, row.source, row.status)
    for stock in who:
        values: dict[str, Valued | str] = {"who": stock.name, "stay": stay, "within": near}
        steps.add(at, "fish-back", Apart(stock=stock.id, out=False), how=how, why=how, values=values)


def filled(steps: Steps, at: datetime, request: CourseRequest, tub_l: float) -> None:
    """New water for a whole tub, without chlorine."""
    if needs_dechlorinator(request):
        dechlorinate(steps, at, WHOLE_FLOOR, request, Estimate.exact(tub_l))


def fed(steps: Steps, at: datetime, plan: TubPlan, day: int) -> None:
    """One day's food in the tub."""
    grams = plan.food_mg_day / MG_PER_G
    values: dict[str, Valued | str] = {
        "food": exactly(plan.food_mg_day, "mg"), "day": exactly(float(day)),
    }  # fmt: skip
    steps.add(at, "tub-feed", Feed(food_g=grams), values=values)


def half_changed(steps: Steps, at: datetime, request: CourseRequest, tub_l: float) -> None:
    """The floor of the tub siphoned and half of its water changed."""
    litres = Estimate.exact(tub_l)
    if needs_dechlorinator(request):
        dechlorinate(steps, at, HALF, request, litres)
    steps.add(at, "siphon", Siphon(floor_share=WHOLE_FLOOR), how="tub-siphon", why="tub-siphon",
              values={"floor": exactly(WHOLE_FLOOR, "share")})  # fmt: skip
    within = next(r for r in steps.facts.hygiene.change_limit if r.id == "t_fish")
    values: dict[str, Valued | str] = {
        "share": exactly(HALF, "share"),
        "within": exactly(within.high or 0.0, within.unit, within.source, within.status),
    }
    act = Change(share=HALF, dechlorinated=True)
    steps.add(at, "change", act, why="tub-half", values=values, amount=litres_of(litres, HALF))
