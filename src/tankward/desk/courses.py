"""Courses: one proposed for a tank, its chances, and begun as an entry with its dated steps."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, timedelta
from math import ceil

import msgspec
from msgspec.structs import replace

from tankward.judge.conditions import People
from tankward.knowledge.find import find_one
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.quantities.parse import is_unknown, number, quantity
from tankward.room.acts import Dose
from tankward.room.entries.acts import CourseBegun, Step
from tankward.room.hours import Hours, hours_of
from tankward.room.lists import words
from tankward.room.replay import Room
from tankward.room.time import moment
from tankward.treat.amounts.measure import Measured
from tankward.treat.amounts.tools import COMMON_KIT
from tankward.treat.course.asked import FoodWish
from tankward.treat.course.chances import Chances, course_chances
from tankward.treat.course.changes import DECHLORINATOR
from tankward.treat.course.make import make_course
from tankward.treat.course.records import Course, CourseStep
from tankward.treat.course.request import request_from_room
from tankward.treat.course.shape import shape_of
from tankward.treat.course.within_hours import better_start, first_within, not_within, on_quarter
from tankward.treat.course.without import without_course

from .examine import examine_tank
from .find import find_stock, find_supply
from .folder import new_id
from .jar_first import jar_first
from .remedy import young_named
from .without import days_of, knobs_of, remedy_of

ROUTES = {
    "water": "water_long", "tank": "water_long", "in the tank": "water_long", "bath": "water_bath",
    "food": "feed", "warmth": "heat",
}  # fmt: skip
READY = timedelta(minutes=15)  # to fetch what is needed, before the first step [our own choice]
MG_PER_G = 1000.0
YES_NO = {"yes": True, "no": False, "": None, "dont-know": None}


class Wanted(msgspec.Struct, frozen=True, kw_only=True):
    """What was asked for, as it was typed; "" leaves it to us."""

    substance: str
    route: str
    remedy: str = ""  # without medicine: fish_out, daily_siphon, wait_and_count; then no substance
    days: str = ""  # of such a remedy: in all
    every: str = ""  # between two moves to a clean tub; "never"
    moved: str = ""  # so long they are moved
    change: str = ""  # of the water each day
    siphon: str = ""  # of the floor each day
    regimen: str = ""
    supply: str = ""
    start: str = ""
    cause: str = ""
    level: str = ""
    units: str = ""
    stock: str = ""
    tub: str = ""
    place: str = ""
    shape: str = ""  # doses and changes hour by hour, as a plan or a hand made them
    food: str = ""  # which food takes it: gel, flakes, granules, frozen
    label: str = ""  # yes: follow the label's own rule
    gone: str = ""  # "fry", "eggs": said not to be there
    sensitised: str = ""
    pregnant_or_children: str = ""
    window: str = ""
    goggles: str = ""
    expert: str = ""


def propose(room: Room, tank: str, wanted: Wanted, now: datetime, zone: str, facts: Facts) -> Course:
    """A course that may be begun.

    Parameters
    ----------
    room : Room
        As it stands.
    tank : str
        Id of the tank.
    wanted : Wanted
        As typed.
    now : datetime
        With a zone.
    zone : str
        Of the keeper's wall clock.
    facts : Facts
        The facts.

    Raises
    ------
    BadInput
        For what can't be read or is missing.
    Refused
        With every reason and what would change it.
    """
    remedy = remedy_of(wanted, facts)
    substance = "" if remedy else find_one(facts, "substance", wanted.substance)
    causes = tuple(find_one(facts, "cause", w) for w in words(wanted.cause))
    examined = examine_tank(room, tank, now, facts)
    request = request_from_room(
        room, tank, facts, now, causes=causes, not_there=young_named(words(wanted.gone)),
        ranking=examined.ranking if examined.evidence.seen else None, people=people_of(wanted), zone=zone,
    )  # fmt: skip
    hours = hours_of(room.kit.hours, now, zone)
    nobody = () if any(s.number.high > 0 for s in request.stock) else (NOBODY,)

    def made(start: datetime) -> Course:
        if remedy:
            who = [find_stock(room, tank, w).id for w in words(wanted.stock)]
            return without_course(request, remedy, facts, start, now, stock_ids=who, **knobs_of(wanted))
        return make_course(
            request,
            substance,
            ROUTES.get(wanted.route.strip().lower(), wanted.route.strip().replace("-", "_")),
            facts=facts,
            start=start,
            now=now,
            regimen_id=wanted.regimen,
            supply=find_supply(room, wanted.supply) if wanted.supply else None,
            level=float(number(wanted.level, "level")) if wanted.level else None,
            units=float(number(wanted.units, "units")) if wanted.units else None,
            own_rule=_yes(wanted.label, "label") is True,
            place=wanted.place,
            stock_ids=[find_stock(room, tank, w).id for w in words(wanted.stock)],
            tub_l=quantity(wanted.tub, "volume", "tub").value if wanted.tub else None,
            food=FoodWish(kind=wanted.food, days=days_of(wanted.days, "days")),
            shape=shape_of(wanted.shape) if wanted.shape else None,
        )

    course = made(start_of(wanted.start, hours, now, zone))
    if hours is not None:
        better = course.start if wanted.start.strip() else better_start(hours, course, zone)
        course = course if better == course.start else made(better)
        late = not_within(hours, course, zone)
        course = replace(course, cautions=(*course.cautions, late)) if late else course
    steps = tuple(with_measure(s, room) for s in course.steps)
    return replace(course, steps=steps, cautions=(*nobody, *course.cautions))


NOBODY = Reason(
    kind="nobody",
    because="Nobody is written down in this tank: who bears it was not judged at all.",
    would_change="say who lives there, and work it out again",
)


def _yes(text: str, field: str) -> bool | None:
    if is_unknown(text):
        return None
    word = text.strip().lower()
    if word not in YES_NO:
        raise BadInput(field, text, "is not one of yes, no, dont-know.")
    return YES_NO[word]


def people_of(wanted: Wanted) -> People:
    """Who handles it, and where; what was not said is taken as the worse."""
    return people_said(msgspec.structs.asdict(wanted))


def people_said(given: Mapping[str, str]) -> People:
    """The same from answers by their names; yes, no, dont-know or nothing."""
    return People(**{name: _yes(given.get(name, ""), name) for name in People.__struct_fields__})


def with_measure(step: CourseStep, room: Room) -> CourseStep:
    """Dechlorinator on the keeper's scale, rounded up: a little too much of it does no harm."""
    if step.kind != "dechlorinate" or step.amount is None or not step.amount.value:
        return step
    mark = (room.kit.scale_g or COMMON_KIT.scale_g or 0.1) * MG_PER_G
    wanted = step.amount.value * MG_PER_G
    given = ceil(wanted / mark - 1e-9) * mark
    measured = Measured(
        wanted=wanted, amount=given, unit="mg", tool="scale", low=given - mark, high=given + mark,
        tool_name=f"{mark / MG_PER_G:g} g scale, rounded up", assumed_kit=room.kit.scale_g is None,
    )  # fmt: skip
    return replace(step, measured=measured, act=Dose(actives={DECHLORINATOR: given}))


def start_of(text: str, hours: Hours | None, now: datetime, zone: str) -> datetime:
    """When a course starts: as said; else in a quarter of an hour, within the keeper's own hours.

    Raises
    ------
    BadInput
        If it can't be read, or lies in the past.
    """
    if text.strip():
        at = moment(text, now, zone, "start").at
        if at < now - timedelta(minutes=1):
            raise BadInput("start", text, "lies in the past. A course starts now or later.")
        return max(at, now)
    return first_within(hours, on_quarter(now + READY), zone)


def chances_of(course: Course, room: Room, now: datetime, facts: Facts) -> Chances:
    """Chances of harm while it runs; about a second."""
    return course_chances(course, room, course.tank, now, facts)


def begun(
    room: Room,
    course: Course,
    said: Mapping[str, Step],
    name: str,
    now: datetime,
    zone: str,
    *,
    strong: str = "",
    told: Sequence[str] = (),
    stated: Sequence[str] = (),
    made: Callable[[], str] = new_id,
) -> CourseBegun:
    """The entry that begins a course.

    Parameters
    ----------
    room : Room
        As it stands.
    course : Course
        As it was proposed.
    said : mapping of str to Step
        Each step in the keeper's own measure and words, by its id.
    name : str
        What the course is called.
    strong : str
        How strong it is, said.
    told, stated : sequence of str
        Whom it reaches and what to mind; what the keeper states. Kept as they were said, so that the sheet of
        the running course says what the proposed one did.

    Raises
    ------
    Refused
        If another course runs there: one medicine at a time (safety rule 13). If somebody there is unknown
        and no jar was tried.
    """
    if jars := jar_first(course):
        raise Refused(*jars)
    running = room.courses.get(course.tank)
    if running is not None:
        raise Refused(
            Reason(
                kind="course-runs",
                because=f"{running.name} runs here already. One medicine at a time.",
                would_change="stop that course, then two half changes and a day of carbon",
            )
        )
    return CourseBegun(
        id=made(), at=now, zone=zone, tank=course.tank, name=name, substance=course.substance,
        remedy=course.remedy, route=course.route, supply=course.supply,
        cause=course.causes[0] if len(course.causes) == 1 else "",
        steps=tuple(said[s.id] for s in course.steps),
        strong=strong, told="\n".join(told), statement="\n".join(stated),
    )  # fmt: skip
