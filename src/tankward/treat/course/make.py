"""Make a course: the right regimen, its amounts, its dated steps; or a refusal with every reason."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.room.things import Supply

from .asked import Asked, FoodWish
from .bath import bath_course
from .choice import choose
from .food import food_course
from .heat import heat_course
from .in_tank import tank_course
from .records import Course
from .request import CourseRequest
from .shape import Shape

BY_ROUTE: dict[str, Callable[[Asked], Course]] = {
    "water_long": tank_course,
    "water_bath": bath_course,
    "dip": bath_course,
    "feed": food_course,
    "heat": heat_course,
}


def make_course(
    request: CourseRequest,
    substance: str,
    route: str,
    *,
    facts: Facts,
    start: datetime,
    now: datetime,
    regimen_id: str = "",
    supply: Supply | None = None,
    level: float | None = None,
    units: float | None = None,
    own_rule: bool = False,
    place: str = "",
    region: str = "",
    stock_ids: Sequence[str] = (),
    tub_l: float | None = None,
    food: FoodWish = FoodWish(),
    shape: Shape | None = None,
) -> Course:
    """A course of one substance by one route.

    Parameters
    ----------
    request : CourseRequest
        The tank and all that is known of it.
    substance, route : str
        What, and by which way: water_long, water_bath, dip, feed, heat.
    facts : Facts
        The facts.
    start, now : datetime
        First step; when it is asked.
    regimen_id : str
        One of its regimens; "" takes the best known that is for the cause.
    supply : Supply, optional
        The packet; else one of the shelf that holds just this.
    level : float, optional
        Asked for by the keeper. [own unit: mg/L, uL/L of formalin, °C of heat, mg/kg/day in food]
    units : float, optional
        Packets a dose, asked for by the keeper.
    own_rule : bool
        Follow the label's rule, judged beside.
    place : str
        "tub": the fish apart, for a course that is closed to the tank.
    region : str
        Whose law holds; that of the kit where left out.
    stock_ids : sequence of str
        Who goes into a bath; all that bear it where left out.
    tub_l : float, optional
        Water of the tub. [L]
    food : FoodWish
        Which food takes the medicine, for whom and how long; used by the route feed alone.
    shape : Shape, optional
        Doses and changes hour by hour; None: as the regimen says. Used in the tank's own water alone.

    Returns
    -------
    Course
        Steps in order of time; nothing is begun by it.

    Raises
    ------
    BadInput
        Where something is missing or not known.
    Refused
        Where it would do harm, is not lawful here, or has been tried too often.
    """
    if start < now:
        raise BadInput("start", start.isoformat(), "lies in the past. A course starts now or later.")
    if route not in BY_ROUTE:
        raise BadInput("route", route, f"is no way of giving a course. Ways: {', '.join(BY_ROUTE)}.")
    chosen = choose(
        request, substance, route, facts, regimen_id=regimen_id, supply=supply, place=place, region=region
    )
    asked = Asked(
        request=request,
        chosen=chosen,
        facts=facts,
        start=start,
        level=level,
        units=units,
        own_rule=own_rule,
        stock_ids=tuple(stock_ids),
        tub_l=tub_l,
        food=food,
        shape=shape,
    )
    return (bath_course if chosen.option.place == "tub" else BY_ROUTE[route])(asked)
