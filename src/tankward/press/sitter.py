"""A tank for a sitter: one page with a box a day, what waits for the keeper, what to do if late."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta

import msgspec

from tankward.desk.by_hand import proposed
from tankward.desk.courses import Wanted
from tankward.desk.lives import Lives, lives_here
from tankward.desk.several import shelves
from tankward.quantities.faults import BadInput
from tankward.quantities.working import Answer
from tankward.room.entries.acts import Done, Step, StepSkipped
from tankward.room.holds import water_of
from tankward.room.hours import hours_of
from tankward.room.things import Tank
from tankward.room.time import day_of, zone_of
from tankward.room.volume import litres
from tankward.show.sheets.records import SitterSheet
from tankward.show.sheets.sitter import sitter_sheet
from tankward.show.words.course import danger_lines, danger_told, entry_steps
from tankward.show.words.step_parts import Context
from tankward.treat.course.for_sitter import SitterStep, for_sitter
from tankward.treat.mend.shifted import shifted

from .course import KEYS
from .sheet import Asked, Sheet

DAYS = "days"
MOST_DAYS = 14  # boxes of a row; longer absences get a sheet each [our own choice]
USUAL_DAYS = 7  # where neither an absence nor a course says how long


class Sitting(msgspec.Struct, frozen=True, kw_only=True):
    """What the sheet is made of."""

    tank: Tank
    water: Answer
    lives: Sequence[Lives]
    tanks: Sequence[Tank]
    days: Sequence[date]
    steps: Sequence[SitterStep]
    danger: Sequence[str]


def record(asked: Asked) -> SitterSheet:
    return sitter_sheet(sitting(asked), zone=asked.zone, foot=asked.foot())


def sitting(asked: Asked) -> Sitting:
    """The tank, the days and the course that is asked about; its course as begun, or as it is proposed.

    Raises
    ------
    BadInput
        If the days can't be read, or are more than one sheet holds.
    """
    assert asked.tank is not None  # the press asks for it
    room, tank = asked.desk.room(), asked.tank
    steps, danger = _steps(asked)
    days = _days(asked, steps)
    begins = datetime.combine(days[0], time(), zone_of(asked.zone))
    done = {e.step for e in room.of_tank(tank.id) if isinstance(e, Done) and e.step}
    judged = for_sitter(steps, begins, room.stock_of(tank.id), litres(tank), asked.facts, done=done)
    told = {e.step for e in room.of_tank(tank.id) if isinstance(e, Done | StepSkipped) and e.step}
    animals = [g for g in lives_here(room, tank.id, asked.facts) if g.stock.kind not in asked.facts.plants]
    return Sitting(
        tank=tank, water=water_of(tank, room), lives=animals,
        tanks=[t for row in shelves(room).values() for t in row], days=days,
        steps=[s for s in judged if s.step.id not in told], danger=danger,
    )  # fmt: skip


def _steps(asked: Asked) -> tuple[Sequence[Step], Sequence[str]]:
    """The steps of the course that is named, else of the one that runs; and what stands against it."""
    assert asked.tank is not None
    room, typed = asked.desk.room(), {k: v for k, v in asked.typed.items() if k != DAYS}
    if typed:
        wanted = Wanted(**{"substance": "", "route": "", **typed})
        course = proposed(room, asked.tank.id, wanted, asked.now, asked.zone, asked.facts)
        said = entry_steps(Context(course=course, facts=asked.facts, kit=room.kit, shelf=room.shelf))
        return tuple(said.values()), danger_lines(course.cautions)
    begun = room.courses.get(asked.tank.id)
    if begun is None:
        return (), ()
    return shifted(room, asked.tank.id, asked.facts).steps, danger_told(begun)


def _days(asked: Asked, steps: Sequence[Step]) -> Sequence[date]:
    """The days that were typed, else the next absence, else those of the course, else a week."""
    today = day_of(asked.now, asked.zone)
    typed = asked.typed.get(DAYS, "").strip()
    if typed:
        first, last = _typed_days(typed, asked)
    elif (absence := _absence(asked, today)) is not None:
        first, last = absence
    else:
        left = [day_of(s.at, asked.zone) for s in steps if day_of(s.at, asked.zone) >= today]
        first, last = (min(left), max(left)) if left else (today, today + timedelta(days=USUAL_DAYS - 1))
        last = min(last, first + timedelta(days=MOST_DAYS - 1))
    many = (last - first).days + 1
    if many > MOST_DAYS:
        told = f"are {many} days. One sheet holds {MOST_DAYS}: print the rest as another."
        raise BadInput(DAYS, typed or f"{first} to {last}", told)
    return [first + timedelta(days=n) for n in range(many)]


def _typed_days(typed: str, asked: Asked) -> tuple[date, date]:
    hours = hours_of(f"away {typed.removeprefix('away ')}", asked.now, asked.zone)
    if hours is None or hours.unread or len(hours.absent) != 1:
        raise BadInput(DAYS, typed, "are no days that can be read. Write them like 15-25 May, or Thu-Sun.")
    return hours.absent[0]


def _absence(asked: Asked, today: date) -> tuple[date, date] | None:
    """The next days away that the keeper wrote down, from today on."""
    hours = hours_of(asked.desk.room().kit.hours, asked.now, asked.zone)
    ahead = [a for a in hours.absent if a[1] >= today] if hours else []
    return (max(ahead[0][0], today), ahead[0][1]) if ahead else None


def lived_in(asked: Asked) -> bool:
    """Whether anybody lives in the tank."""
    return asked.tank is not None and bool(asked.desk.room().stock_of(asked.tank.id))


SHEET = Sheet(
    name="sitter",
    title="For a sitter",
    use="one page a tank: a box a day, bags measured before, what waits for you, whom to ring",
    about="tank",
    layout="sitter",
    record=record,
    of_course=True,
    asks=((DAYS, "when you are away, like 15-25 May; else your next days away"), *KEYS),
    fits=lived_in,
)
