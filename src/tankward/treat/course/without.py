"""Remedies without medicine as courses: dated steps; what a plan may vary stands as an argument. Rule 15."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from tankward.judge.progress import decide_on
from tankward.knowledge.known import Facts
from tankward.knowledge.records.remedy import Remedy
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.quantities.parse import Estimate
from tankward.room.things import Stock
from tankward.treat.amounts.net_bath import germ_of, net_plan
from tankward.treat.husbandry.tub import TubPlan
from tankward.treat.policy import Permission
from tankward.treat.remedies.reach import organisms_of
from tankward.treat.remedies.records import Option, RuledOut
from tankward.treat.remedies.situation import Situation
from tankward.treat.remedies.without import considered, fits

from .finish import BLEACH_MG_L, watched_values
from .fish_out import FISH_OUT, Knobs, laid_out, lay
from .in_place import lay_siphon, lay_wait, siphoned, waited
from .records import Course, Recipe, Rounds, Without
from .request import CourseRequest
from .steps import Steps, decide, look
from .watching import watches
from .without_worked import waited_worked

SIPHON, WAIT = "daily_siphon", "wait_and_count"
__all__ = ["DATED", "FISH_OUT", "SIPHON", "WAIT", "without_course"]
DATED = (FISH_OUT, SIPHON, WAIT)


def without_course(
    request: CourseRequest,
    remedy_id: str,
    facts: Facts,
    start: datetime,
    now: datetime,
    *,
    days: float | None = None,
    every_h: float | None = None,
    move_days: float | None = None,
    tub_l: float | None = None,
    food: float | None = None,
    change_share: float | None = None,
    siphon: float | None = None,
    stock_ids: Sequence[str] = (),
    region: str = "",
) -> Course:
    """A remedy without medicine as a course that may be begun.

    Parameters
    ----------
    request : CourseRequest
        The tank, what is known of it, and the causes it is for.
    remedy_id : str
        fish_out, daily_siphon, wait_and_count.
    facts : Facts
        The facts.
    start, now : datetime
        First step; when it is asked.
    days : float, optional
        In all: how long the tank stands without fish, is siphoned, is waited for. [d]
    every_h : float, optional
        Fish out: hours between two moves to a clean tub; 0: they stay in one, half of it changed. [h]
    move_days : float, optional
        Fish out: so long they are moved. [d]
    tub_l : float, optional
        Fish out: water of each tub. [L]
    food : float, optional
        Fish out: dry food a day as share of their weight. [-]
    change_share : float, optional
        Daily siphon: share of the water changed each day. [-]
    siphon : float, optional
        Daily siphon: share of the floor each day. [-]
    stock_ids : sequence of str
        Fish out: who goes over; it must be all the fish.
    region : str
        Whose law holds; that of the kit where left out.

    Returns
    -------
    Course
        Steps in order of time, those in a tub marked; nothing is begun by it. What is left out is taken from
        the remedy's own figures and from the life of the organism at this warmth.

    Raises
    ------
    BadInput
        Where something is missing, is not known, or lies outside what is sound.
    Refused
        Where it is ruled out here.
    """
    if start < now:
        raise BadInput("start", start.isoformat(), "lies in the past. A course starts now or later.")
    remedy = _remedy(remedy_id, facts)
    causes = _aimed(remedy, request, facts)
    situation = request.situation(facts, causes, region or request.kit.region)
    found = considered(remedy, causes, situation)
    if isinstance(found, RuledOut):
        raise Refused(*found.reasons)
    knobs = Knobs(
        days=days, every_h=every_h, move_days=move_days, tub_l=tub_l, food=food, change_share=change_share,
        siphon=siphon,
    )  # fmt: skip
    return _LAID[remedy_id](request, found, situation, knobs, start, tuple(stock_ids))


def _remedy(remedy_id: str, facts: Facts) -> Remedy:
    if remedy_id not in facts.remedies:
        raise BadInput("remedy", remedy_id, "is no remedy without medicine that is known here.")
    if remedy_id not in DATED:
        raise BadInput("remedy", remedy_id, f"has no dated steps. Those that have: {', '.join(DATED)}.")
    return facts.remedies[remedy_id]


def _aimed(remedy: Remedy, request: CourseRequest, facts: Facts) -> tuple[str, ...]:
    """The causes asked about that it is for."""
    if not request.causes:
        raise BadInput("cause", "", "is missing: its days go by what lives there. Say against what.")
    found = tuple(c for c in request.causes if fits(remedy, facts.causes[c], facts))
    if not found:
        names = ", ".join(facts.causes[c].name for c in request.causes)
        raise BadInput("remedy", remedy.name, f"is no remedy for {names}.")
    return found


def _fish_out(
    request: CourseRequest,
    option: Option,
    situation: Situation,
    knobs: Knobs,
    start: datetime,
    who: tuple[str, ...],
) -> Course:
    facts, fish = situation.facts, situation.fish
    _all_of(fish, who)
    cycle = [
        o for o in organisms_of(situation.causes, facts) if o.structure in facts.remedies[FISH_OUT].structures
    ]
    made = laid_out(request, option, cycle, fish, knobs, facts)
    laid, plan = made.found, made.plan
    tank, tub, ends = lay(_key(FISH_OUT, start), request, made, fish, start, facts)
    return _finished(
        FISH_OUT, request, option, situation, laid, start, ends, (tub, tank), Estimate.exact(laid.tub_l),
        (*_of_the_tub(laid, plan, request), *_of_the_tank(situation)),
    )  # fmt: skip


def _all_of(fish: tuple[Stock, ...], who: tuple[str, ...]) -> None:
    """One that stays is a host: the tank then clears of nothing."""
    if not who:
        return
    here = {s.id: s for s in fish}
    for name in who:
        if name not in here:
            raise BadInput("stock", name, "is no fish of this tank.")
    stay = tuple(s.name for s in fish if s.id not in who)
    if stay:
        raise Refused(
            Reason(
                kind="fish-stay",
                because=f"{', '.join(stay)} would stay: a tank with one fish in it clears of nothing.",
                would_change="all fish out, or another remedy",
                who=stay,
            )
        )


def _siphon(
    request: CourseRequest,
    option: Option,
    situation: Situation,
    knobs: Knobs,
    start: datetime,
    _: tuple[str, ...],
) -> Course:
    if request.volume_l is None:
        raise BadInput(
            "tank", request.tank.name, "has no volume yet: give its sizes and how high it is filled."
        )
    laid = siphoned(request, option, organisms_of(situation.causes, situation.facts), knobs)
    steps, ends = lay_siphon(_key(SIPHON, start), request, laid, request.volume_l, start, situation.facts)
    return _finished(SIPHON, request, option, situation, laid, start, ends, (steps,), request.volume_l, ())


def _wait(
    request: CourseRequest,
    option: Option,
    situation: Situation,
    knobs: Knobs,
    start: datetime,
    _: tuple[str, ...],
) -> Course:
    laid = waited(option, knobs)
    steps, ends = lay_wait(_key(WAIT, start), laid, waited_worked(laid, option), start, situation.facts)
    return _finished(WAIT, request, option, situation, laid, start, ends, (steps,), request.volume_l, ())


_LAID = {FISH_OUT: _fish_out, SIPHON: _siphon, WAIT: _wait}


def _key(remedy: str, start: datetime) -> str:
    return f"{remedy}-{start:%Y%m%d}"


def _finished(
    remedy: str,
    request: CourseRequest,
    option: Option,
    situation: Situation,
    laid: Without,
    start: datetime,
    ends: datetime,
    steps: tuple[Steps, ...],
    volume_l: Estimate | None,
    more: tuple[Reason, ...],
) -> Course:
    """The course, with its day of decision and the looks after it."""
    facts, on = situation.facts, decide_on(start, ends)
    watched = watches(situation.causes, ends, request.temp_c, facts)
    if remedy == WAIT:
        watched = ()  # nothing was done that could have ended it
    decide(steps[-1], on, {"ends": ends.isoformat()}, how="wait-decide" if remedy == WAIT else "")
    for row in watched:
        look(steps[-1], row.until, watched_values(row))
    germ = germ_of((*situation.causes, *(left.cause for left in option.leaves)))
    return Course(
        key=_key(remedy, start),
        tank=request.tank.id,
        substance="",
        remedy=remedy,
        route="",
        place="tub" if laid.tub_l else "tank",
        regimen=None,
        supply="",
        permission=Permission(substance="", use="keeper", may="yes", note=""),
        statement=None,
        answers=None,
        causes=situation.causes,
        start=start,
        ends=ends,
        decide_on=on,
        volume_l=volume_l,
        level=None,
        steps=tuple(sorted((s for part in steps for s in part.done()), key=lambda s: s.at)),
        rounds=Rounds(planned=1, published=None, label=None, most=1, before=0),
        reaches=option.reaches,
        not_reached=option.not_reached,
        leaves=option.leaves,
        cautions=tuple(dict.fromkeys((*option.cautions, *more))),
        watch=watched,
        recipe=Recipe(kind="tub", tub_l=laid.tub_l, numbers=option.figures) if laid.tub_l else None,
        without=laid,
        net=net_plan(germ, facts, BLEACH_MG_L),
    )


def _of_the_tub(laid: Without, plan: TubPlan, request: CourseRequest) -> tuple[Reason, ...]:
    found = []
    if plan.crowded:
        found.append(
            Reason(
                kind="tub-crowded",
                because=f"{plan.load_g_l:.2g} g of fish in a litre of tub: more than a bare tub bears "
                f"({plan.crowded_g_l:g} g).",
                would_change=f"{plan.least_l:.0f} L or more in each tub",
                status="common-practice",
            )
        )
    if not plan.holds:
        found.append(
            Reason(
                kind="tub-ammonia",
                because="Even half of the tub changed twice a day does not hold its ammonia.",
                would_change=f"{plan.least_l:.0f} L or more in each tub, or less food",
                status="computed",
            )
        )
    if request.temp_c is None:
        found.append(COUNTED_WARMTH)
    if not laid.moves:
        found.append(NOT_MOVED)
    return tuple(found)


def _of_the_tank(situation: Situation) -> tuple[Reason, ...]:
    livebearers = [s for s in situation.fish if s.kind in situation.facts.animals]
    groups = {situation.facts.animals[s.kind].group for s in livebearers}
    fry = () if "livebearer" not in groups or "fry" in situation.not_there else (FRY_TOO,)
    return (NEW_WATER, *fry)


COUNTED_WARMTH = Reason(
    kind="warmth-unknown",
    because="The temperature is not known: its days and hours are counted for 24.5 °C.",
    would_change="read the temperature; in cooler water all of it takes longer",
)
NOT_MOVED = Reason(
    kind="not-moved",
    because="They stay in one tub: what leaves them can find them there again, and what does not leave them "
    "stays on them.",
    would_change="a move to a clean tub before anything hatches, where the parasite leaves the fish",
)
NEW_WATER = Reason(
    kind="new-water",
    because="The water of each tub is new: as warm as the tank, its pH no further than half a unit from it.",
    would_change="part tank water in the first tub, where the tank is old and acid",
    status="common-practice",
)
FRY_TOO = Reason(
    kind="fry-too",
    because="Fry count as fish: one left in the tank keeps the parasite alive.",
    would_change="catch them with a cup by torchlight, or say that there are none",
)
