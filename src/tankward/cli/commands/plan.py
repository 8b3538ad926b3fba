"""`tankward plan TANK --cause X`: the few courses that are each the best of their kind."""

from __future__ import annotations

import sys

from cyclopts import App

from tankward.desk.find import find_tank
from tankward.desk.plans import PlanWish, course_link, plan_for, wishes_of
from tankward.desk.remedy import causes_named
from tankward.desk.spared import spared
from tankward.knowledge.loader import load
from tankward.model.run import warm
from tankward.show.answers_plan import plan_result
from tankward.show.results_plan import PlanResult

from ..common import Common, opened

BAR = 30
STAGES = {
    "screened": "ways looked at",
    "simulated": "followed through",
    "refined": "looked at more closely",
}


def plan(
    tank: str,
    *,
    cause: str,
    hours: str = "",
    on_shelf: str = "",
    no_medicine: str = "",
    spare: str = "",
    place: str = "",
    tub: str = "",
    start: str = "",
    over_by: str = "",
    over_limit: str = "",
    nh3: str = "",
    nitrite: str = "",
    oxygen: str = "",
    ph: str = "",
    not_there: str = "",
    sensitised: str = "",
    pregnant_or_children: str = "",
    window: str = "",
    goggles: str = "",
    expert: str = "",
    common: Common = Common(),
) -> PlanResult:
    """The courses that are each the best of their kind: plan T8 --cause white_spot --hours "away Thu-Sun".

    Parameters
    ----------
    tank
        A tank of the room.
    cause
        Against what; several parted by commas.
    hours
        When you can be there: "Mon-Fri 18:00-22:00; away Thu-Sun"; nothing is as your kit says.
    on_shelf
        yes: only with what is on the shelf now.
    no_medicine
        yes: only what needs none.
    spare
        Whom nothing may hurt: "shrimp", "nerite; amano_shrimp".
    place
        tank or tub; nothing is either.
    tub
        Water of the tub, like 15 L.
    start
        The first step; nothing is the best of the next days.
    over_by
        When it has to be over: "20 May 20:00".
    over_limit
        Chance of passing what somebody bears: 5% or less.
    nh3
        The same for the poisonous part of ammonia: 5% or less.
    nitrite
        The same for nitrite.
    oxygen
        The same for too little oxygen.
    ph
        The same for pH.
    not_there
        "fry", "eggs": said not to be there.
    sensitised
        Is anybody near allergic to it? yes, no or dont-know, where it is a hazard to people.
    pregnant_or_children
        Is anybody near pregnant, or are children? yes, no or dont-know.
    window
        Can a window be opened? yes, no or dont-know.
    goggles
        Do you have goggles? yes, no or dont-know.
    expert
        Have you handled it before? yes, no or dont-know.
    """
    wish = PlanWish(
        cause=cause,
        hours=hours,
        on_shelf=on_shelf,
        no_medicine=no_medicine,
        spare=spare,
        place=place,
        tub=tub,
        start=start,
        over_by=over_by,
        over_limit=over_limit,
        nh3=nh3,
        nitrite=nitrite,
        oxygen=oxygen,
        ph=ph,
        gone=not_there,
        sensitised=sensitised,
        pregnant_or_children=pregnant_or_children,
        window=window,
        goggles=goggles,
        expert=expert,
    )
    facts, now = load(), common.moment
    with opened(common) as desk:
        room = desk.room()
    found = find_tank(room, tank)
    causes_named([wish.cause], facts)  # what can't be read is told at once, not after the wait below
    spared(wishes_of(wish, room, now, common.zone).spare, room, found.id, facts)
    warm(wait=True)  # a search without it takes minutes
    made = plan_for(room, found.id, wish, now, common.zone, facts, told=bar)
    links = [course_link(p, wish) for p in made.courses]
    return plan_result(made, found.name, links, facts, room.kit, room.shelf, common.zone, common.told)


def bar(stage: str, done: int, of: int) -> None:
    """A true progress bar on the terminal, beside the answer; nothing where the output goes elsewhere."""
    if not sys.stderr.isatty():
        return
    full = round(BAR * min(1.0, done / max(of, 1)))
    line = f"\r{'#' * full}{'.' * (BAR - full)} {min(done, of)} of {of} {STAGES[stage]}"
    sys.stderr.write(f"{line:<78}" + ("\n" if stage == "refined" and done >= of else ""))
    sys.stderr.flush()


def add_to(app: App) -> None:
    """Add the command."""
    app.command(plan)
