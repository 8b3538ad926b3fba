"""Plans: what the keeper wishes, read as it was typed, and the courses found for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from urllib.parse import urlencode

import msgspec
from msgspec.structs import replace

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import quantity
from tankward.room.hours import Hours, hours_of, understood
from tankward.room.lists import words
from tankward.room.replay import Room
from tankward.room.time import moment
from tankward.treat.course.request import request_from_room
from tankward.treat.planner.plan import make_plan
from tankward.treat.planner.records import WHATS, Plan, Planned, Wishes
from tankward.treat.planner.search import Budget

from .courses import people_said, with_measure
from .remedy import causes_named, remedies_tank, young_named
from .spared import spared

YES = ("yes", "y", "true", "1", "on")
NO = ("", "no", "n", "false", "0", "dont-know")
PLACES = {"": "", "tank": "tank", "tub": "tub"}


class PlanWish(msgspec.Struct, frozen=True, kw_only=True):
    """What was asked for, as it was typed; "" leaves it to us."""

    cause: str
    hours: str = ""
    on_shelf: str = ""
    no_medicine: str = ""
    spare: str = ""
    place: str = ""
    tub: str = ""
    start: str = ""
    over_by: str = ""
    over_limit: str = ""
    nh3: str = ""
    nitrite: str = ""
    oxygen: str = ""
    ph: str = ""
    gone: str = ""
    sensitised: str = ""
    pregnant_or_children: str = ""
    window: str = ""
    goggles: str = ""
    expert: str = ""


def wishes_of(wish: PlanWish, room: Room, now: datetime, zone: str) -> Wishes:
    """What was typed as wishes.

    Raises
    ------
    BadInput
        Naming the field.
    Refused
        Where more chance of harm was asked for than is safe.
    """
    if wish.place not in PLACES:
        raise BadInput("place", wish.place, "is neither tank nor tub.")
    asked = {what: getattr(wish, what.replace("-", "_")) for what in WHATS}
    wishes = Wishes(
        hours=_hours(wish, room, now, zone),
        medicine=not _yes(wish.no_medicine, "no-medicine"),
        on_shelf=_yes(wish.on_shelf, "on-shelf"),
        spare=tuple(words(wish.spare)),
        place=PLACES[wish.place],  # type: ignore[arg-type]
        tub_l=quantity(wish.tub, "volume", "tub").value if wish.tub else None,
        start=_moment(wish.start, now, zone, "start"),
        over_by=_moment(wish.over_by, now, zone, "over-by"),
        most={what: quantity(text, "share", what).value for what, text in asked.items() if text.strip()},
    )
    for what in wishes.most:
        wishes.most_of(what)
    return wishes


def _hours(wish: PlanWish, room: Room, now: datetime, zone: str) -> Hours | None:
    """As typed; else the keeper's own of the kit."""
    return understood(wish.hours, now, zone) if wish.hours.strip() else hours_of(room.kit.hours, now, zone)


def _yes(text: str, field: str) -> bool:
    word = text.strip().lower()
    if word not in (*YES, *NO):
        raise BadInput(field, text, "is neither yes nor no.")
    return word in YES


def _moment(text: str, now: datetime, zone: str, field: str) -> datetime | None:
    if not text.strip():
        return None
    at = moment(text, now, zone, field).at
    if at < now:
        raise BadInput(field, text, "lies in the past.")
    return at


def plan_for(
    room: Room,
    tank: str,
    wish: PlanWish,
    now: datetime,
    zone: str,
    facts: Facts,
    *,
    budget: Budget = Budget(),
    told: Callable[[str, int, int], None] = lambda stage, done, of: None,
    first: Callable[[Planned], None] = lambda planned: None,
) -> Plan:
    """The courses that are each the best of their kind in a tank of the room.

    Raises
    ------
    BadInput
        For what can't be read, or a tank of which too little is known.
    Refused
        Where more chance of harm was asked for than is safe.
    """
    causes = causes_named([wish.cause], facts)
    wishes = wishes_of(wish, room, now, zone)
    wishes = replace(wishes, spare=spared(wishes.spare, room, tank, facts))
    gone = young_named(words(wish.gone))
    people = people_said(msgspec.structs.asdict(wish))
    found = remedies_tank(room, tank, causes, now, facts, gone=gone, people=people)
    examined = found.examined
    request = request_from_room(
        room, tank, facts, now, causes=causes, not_there=gone, people=people, zone=zone,
        ranking=examined.ranking if examined is not None and examined.evidence.seen else None,
    )  # fmt: skip
    if request.volume_l is None:
        raise BadInput(
            "tank", request.tank.name, "has no volume yet: give its sizes and how high it is filled."
        )
    plan = make_plan(room, request, found.options, wishes, now, facts, budget=budget, told=told, first=first)
    return replace(plan, courses=tuple(_measured(p, room) for p in plan.courses))


def _measured(planned: Planned, room: Room) -> Planned:
    """With the dechlorinator on the keeper's own scale, as a course is shown."""
    steps = tuple(with_measure(step, room) for step in planned.course.steps)
    return replace(planned, course=replace(planned.course, steps=steps))


def course_link(planned: Planned, wish: PlanWish) -> Mapping[str, str]:
    """What makes one of its courses again: the inputs of `courses.propose`."""
    course = planned.course
    given = {
        "substance": course.substance, "route": course.route,
        "regimen": course.regimen.id if course.regimen else "", "cause": ",".join(course.causes),
        "supply": course.supply, "start": course.start.isoformat(), "shape": planned.shape,
        "level": "" if planned.level is None else f"{planned.level:g}",
        "days": "" if planned.days is None else f"{planned.days:g} days",
        "units": "" if planned.units is None else f"{planned.units:g}", "gone": wish.gone,
        "place": "tub" if course.place == "tub" and course.substance else "",
        "tub": wish.tub if any(step.tub for step in course.steps) else "",
    }  # fmt: skip
    if planned.option.remedy:
        every = planned.every_h
        told = "" if every is None else "never" if not every else f"{every:g} h"
        laid = course.without
        moved = f"{laid.move_days:g} days" if laid is not None and laid.moves else ""
        given |= {"remedy": planned.option.remedy, "every": told, "moved": moved}
    people = {
        k: getattr(wish, k) for k in ("sensitised", "pregnant_or_children", "window", "goggles", "expert")
    }
    return {k: v for k, v in (given | people).items() if v}


def course_query(planned: Planned, wish: PlanWish) -> str:
    """The same as the query of a page."""
    return urlencode(course_link(planned, wish))
