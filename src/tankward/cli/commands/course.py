"""`tankward course TANK`, `tankward course-stop TANK`: amounts and dates, begun and ended."""

from __future__ import annotations

from typing import Annotated

from cyclopts import App
from msgspec.structs import replace

from tankward.desk.by_hand import refuse_unsaid, with_score
from tankward.desk.courses import Wanted, begun, chances_of
from tankward.desk.find import find_tank
from tankward.desk.remedy import young_named
from tankward.desk.running import stopped
from tankward.desk.sources import titles
from tankward.knowledge.loader import load
from tankward.room.lists import words
from tankward.show.answers_course import course_result
from tankward.show.results import Source
from tankward.show.results_course import CourseResult, CourseStopped
from tankward.show.words.after import over_lines
from tankward.show.words.course import (
    course_name,
    entry_steps,
    heading,
    stated_lines,
    strength_line,
    told_lines,
)
from tankward.show.words.step_parts import Context

from ..common import FLAG, Common, opened


def course(
    tank: str,
    *,
    substance: str = "",
    route: str = "",
    remedy: str = "",
    days: str = "",
    every: str = "",
    moved: str = "",
    change: str = "",
    siphon: str = "",
    regimen: str = "",
    supply: str = "",
    start: str = "",
    cause: str = "",
    level: str = "",
    units: str = "",
    stock: str = "",
    tub: str = "",
    place: str = "",
    food: str = "",
    label: str = "",
    shape: str = "",
    not_there: str = "",
    sensitised: str = "",
    pregnant_or_children: str = "",
    window: str = "",
    goggles: str = "",
    expert: str = "",
    danger: str = "",
    begin: Annotated[bool, FLAG] = False,
    common: Common = Common(),
) -> CourseResult:
    """Exact amounts and dated steps: course T7 --substance praziquantel --route water_long, or without
    medicine: course T7 --remedy fish_out --cause white_spot.

    Parameters
    ----------
    tank
        A tank of the room.
    substance
        What: one of tankward facts.
    route
        By which way: water_long, water_bath, dip, feed, heat.
    remedy
        Without medicine: fish_out, daily_siphon, wait_and_count. Then no substance.
    days
        Of such a remedy: for how long in all, like "14 days".
    every
        Fish out: hours between two moves to a clean tub, like 12h; never: they stay in one.
    moved
        Fish out: for how long they are moved, like "8 days".
    change
        Daily siphon: how much of the water each day, like 25%.
    siphon
        Daily siphon: how much of the floor each day, like 50%.
    regimen
        One of its known ways of use; else the best known that is for the cause.
    supply
        The packet of the shelf; else one that holds just this.
    start
        The first step: "today 18:30", "tomorrow 19:00"; else within your hours.
    cause
        Against what.
    level
        How strong, if you want another than the published.
    units
        Packets for a dose, if you want another number.
    stock
        Who goes into a bath.
    tub
        Water of the tub, like 10 L.
    place
        tub: the fish apart, for a course that is closed to the tank.
    food
        Which food takes it: gel, flakes, granules, frozen.
    label
        yes: follow the label's own rule.
    shape
        Hour by hour, as a plan made it: "dose 0h 1, 72h 0.95; change 72h 50%; end 144h".
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
    danger
        Of a shape that may do harm: each danger that you take, like "nh3-nh3_n"; it is begun only so.
    begin
        Begin it: its steps are then part of the logbook.
    """
    young_named([not_there], "not-there")
    wanted = Wanted(
        substance=substance, route=route, remedy=remedy, days=days, every=every, moved=moved, change=change,
        siphon=siphon, regimen=regimen, supply=supply, start=start, cause=cause,
        level=level, units=units, stock=stock, tub=tub, place=place, food=food, label=label, gone=not_there,
        shape=shape,
        sensitised=sensitised, pregnant_or_children=pregnant_or_children, window=window, goggles=goggles,
        expert=expert,
    )  # fmt: skip
    facts, now = load(), common.moment
    with opened(common) as desk:
        room = desk.room()
        found = find_tank(room, tank)
        made, score = with_score(room, found.id, wanted, now, common.zone, facts)
        context = Context(course=made, facts=facts, kit=room.kit, shelf=room.shelf)
        chances = chances_of(made, room, now, facts)
        head = heading(context, found.name, now, common.zone)
        entry = ""
        if begin:
            if score is not None:
                refuse_unsaid(score, words(danger))
            name = course_name(made, facts)
            written = begun(
                room, made, entry_steps(context), name, now, common.zone,
                strong=strength_line(made), told=told_lines(made, facts), stated=stated_lines(made),
            )  # fmt: skip
            (entry,) = desk.append(written)
    told = course_result(made, chances, context, head, begun=entry, now=common.told)
    over = over_lines(made.causes, made.watch, found.temp_c, common.zone, facts)
    return replace(told, sources=sources_of(told), over=over)


def sources_of(told: CourseResult) -> list[Source]:
    """The sources that its rows rest on."""
    rows = [
        *(s.source for step in told.steps for s in step.how),
        *(b.source for b in told.bears),
        *(c.source for c in told.chances),
        *(p.source for p in (told.judged.parts if told.judged else [])),
    ]
    keys = [key for row in rows for key in row.split()]
    return [Source(key=key, title=title, where=read) for key, title, read in titles(keys) if title]


def course_stop(tank: str, *, why: str = "", common: Common = Common()) -> CourseStopped:
    """Stop the course that runs in a tank; what is in the water stays until it fades or is changed out.

    Parameters
    ----------
    tank
        A tank of the room.
    why
        For the logbook.
    """
    with opened(common) as desk:
        room = desk.room()
        found = find_tank(room, tank)
        entry = stopped(room, found.id, why, common.moment, common.zone)
        name = room.courses[found.id].name
        (written,) = desk.append(entry)
    says = f"Stopped in {found.name}: {name}. What is in the water stays until it fades or is changed out."
    return CourseStopped(says=says, tank=found.id, course=entry.course, entry=written, now=common.told)


def add_to(app: App) -> None:
    """Add the commands."""
    app.command(course)
    app.command(course_stop)
