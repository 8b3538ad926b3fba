"""From a course, proposed or begun, to the sheet for whoever minds the tank."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from itertools import groupby
from typing import Protocol

from tankward.judge.urgent import Urgent
from tankward.judge.vet import Vet
from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer
from tankward.room.acts import LookAgain
from tankward.room.entries.acts import CourseBegun, Step
from tankward.room.things import Kit, Supply, Tank
from tankward.room.time import day_of
from tankward.show.words.acts import ended
from tankward.show.words.after import over_lines
from tankward.show.words.causes import short_name, vet_head, vet_lines
from tankward.show.words.course import (
    course_name,
    danger_lines,
    danger_told,
    entry_steps,
    stated_lines,
    strength_line,
    told_lines,
)
from tankward.show.words.days import clock
from tankward.show.words.room import Lives, who_lives
from tankward.show.words.sheet import (
    DEAD,
    DEAD_DO,
    FORGOTTEN,
    FORGOTTEN_DO,
    GASPING,
    NOT_BACK,
    RING,
    RULES,
    STOP,
    TWICE,
    date_said,
    for_what,
    never_words,
    period,
    sheet_title,
    urgent_do,
)
from tankward.show.words.sitter import wait_words
from tankward.show.words.step_parts import Context
from tankward.show.words.supplies import need_line, short_line
from tankward.treat.course.for_sitter import for_sitter
from tankward.treat.course.records import Course
from tankward.treat.course.watching import watches
from tankward.treat.policy import lines_of_law
from tankward.treat.supplies import Need, of_course, of_steps

from .foot import foot
from .records import CourseSheet, Pair, Seen, SheetDay, SheetStep


class ToPrint(Protocol):
    """What a sheet is made of; `course` where it is only proposed, `begun` where it runs."""

    @property
    def tank(self) -> Tank: ...
    @property
    def water(self) -> Answer: ...
    @property
    def lives(self) -> Sequence[Lives]: ...
    @property
    def course(self) -> Course | None: ...
    @property
    def begun(self) -> CourseBegun | None: ...
    @property
    def open_steps(self) -> Sequence[Step]: ...
    @property
    def kit(self) -> Kit: ...
    @property
    def shelf(self) -> Mapping[str, Supply]: ...
    @property
    def all_steps(self) -> Sequence[Step]: ...
    @property
    def done(self) -> frozenset[str]: ...
    @property
    def gasping(self) -> Urgent: ...
    @property
    def twice(self) -> Urgent: ...
    @property
    def vet(self) -> Vet: ...
    @property
    def entries(self) -> int: ...
    @property
    def state(self) -> str: ...


def course_sheet(
    given: ToPrint, facts: Facts, *, now: datetime, zone: str, program: str, invented: str = ""
) -> CourseSheet:
    """The sheet, every sentence said.

    Parameters
    ----------
    given : ToPrint
        The course and what the room knows around it.
    facts : Facts
        The facts.
    now : datetime
        When it is printed.
    zone : str
        Of the keeper's wall clock.
    program : str
        Version of the program.
    invented : str
        What marks an invented room; "" for a real one.
    """
    steps = steps_of(given, facts)
    danger = tuple(_danger(given))
    name = given.begun.name if given.begun else course_name(given.course, facts) if given.course else ""
    return CourseSheet(
        title=sheet_title(given.tank.name, name),
        period=period(steps[0].at, steps[-1].at, zone),
        ring=RING,
        danger=danger,
        about_heading="The tank",
        about=tuple(_about(given, facts)),
        rules_heading="Three rules",
        rules=RULES,
        stop_heading="Stop signs",
        stop=STOP,
        days=tuple(_days(steps, _waits(given, steps, facts), zone)),
        put_back_heading="Put back after a change",
        put_back=_put_back(steps, zone),
        see_heading="If you see this",
        do_heading="do this, and ring us",
        see=_see(given),
        never=never_words(given.gasping),
        keeper_heading="What the keeper states, and what to mind",
        statement=tuple(_statement(given, facts)),
        cautions=tuple(c for c in _cautions(given, facts) if c not in danger),
        over_heading="When it is over",
        over=tuple(_over(given, steps, zone, facts)),
        vet_heading=vet_head(given.vet).rstrip("."),
        vet=tuple(Pair(what=k, says=v) for k, v in vet_lines(given.vet, facts).items()),
        foot=foot(given.tank.name, given, facts, now=now, zone=zone, program=program, invented=invented),
    )


def steps_of(given: ToPrint, facts: Facts) -> list[Step]:
    """The steps to be done, in order of time."""
    if given.course is None:
        return sorted(given.open_steps, key=lambda s: s.at)
    c = Context(course=given.course, facts=facts, kit=given.kit, shelf=given.shelf)
    said = entry_steps(c)
    return [said[s.id] for s in given.course.steps]


def _about(given: ToPrint, facts: Facts) -> Iterable[Pair]:
    water = given.water
    yield Pair(
        what="Water", says="Not known" if water.value is None else f"{water.shown} ({water.shown_range})"
    )
    yield Pair(what="Who lives there", says="; ".join(who_lives(given.lives)) or "Nobody is written down")
    yield Pair(what="What for", says=for_what([short_name(c, facts) for c in _causes(given)]))
    if strong := strength_line(given.course) if given.course else given.begun.strong if given.begun else "":
        yield Pair(what="How strong", says=strong.removeprefix("How strong: "))
    for need in _needs(given):
        yield Pair(what="From the shelf", says=" ".join(w for w in (need_line(need), short_line(need)) if w))


def _needs(given: ToPrint) -> Sequence[Need]:
    """What it takes of the shelf; of a running one what is left to give."""
    if given.course is not None:
        return of_course(given.course, given.shelf)
    return of_steps(given.open_steps, given.shelf)


def _over(given: ToPrint, steps: Sequence[Step], zone: str, facts: Facts) -> Iterable[str]:
    """How long it is looked for and who stays, by the cycle of what it is for."""
    causes = tuple(c for c in _causes(given) if c in facts.causes)
    acting = [s.at for s in steps if not isinstance(s.act, LookAgain)] or [steps[-1].at]
    watch = (
        given.course.watch
        if given.course is not None
        else watches(causes, max(acting), given.tank.temp_c, facts)
    )
    return over_lines(causes, watch, given.tank.temp_c, zone, facts)


def _causes(given: ToPrint) -> tuple[str, ...]:
    if given.course is not None:
        return given.course.causes
    return (given.begun.cause,) if given.begun is not None and given.begun.cause else ()


def _danger(given: ToPrint) -> Iterable[str]:
    """What stands against a course that was changed by hand."""
    if given.course is not None:
        return danger_lines(given.course.cautions)
    return danger_told(given.begun) if given.begun else ()


def _waits(given: ToPrint, steps: Sequence[Step], facts: Facts) -> dict[str, str]:
    """Why a step is not a sitter's, by its id."""
    every = given.all_steps or steps
    water = given.water
    volume = None if water.value is None else Estimate(water.value, water.low or 0.0, water.high or 0.0)
    stock = [g.stock for g in given.lives]
    judged = for_sitter(every, None, stock, volume, facts, done=given.done)
    return {s.step.id: wait_words(s.whys) for s in judged if s.whys}


def _days(steps: Sequence[Step], waits: Mapping[str, str], zone: str) -> Iterable[SheetDay]:
    for _, group in groupby(steps, key=lambda s: day_of(s.at, zone)):
        today = list(group)
        yield SheetDay(heading=date_said(today[0].at, zone), steps=tuple(_timed(today, waits, zone)))


def _timed(steps: Sequence[Step], waits: Mapping[str, str], zone: str) -> Iterable[SheetStep]:
    """An hour stands once; what follows in the same hour comes "then"."""
    last = ""
    for step in steps:
        at = clock(step.at, zone)
        yield SheetStep(
            time=at if at != last else "then",
            head=ended(step.says),
            how=step.how,
            hazard=step.hazard,
            wait=waits.get(step.id, ""),
        )
        last = at


def _put_back(steps: Sequence[Step], zone: str) -> tuple[Pair, ...]:
    """What each change takes, and how much of it goes back, at both ends."""
    back = [s for s in steps if "-put-back-" in s.id]
    if not back:
        return (Pair(what="Between doses", says=NOT_BACK),)
    return tuple(Pair(what=date_said(s.at, zone), says=f"{ended(s.says)} {s.why}".strip()) for s in back)


def _see(given: ToPrint) -> tuple[Seen, ...]:
    return (
        Seen(see=GASPING, do=urgent_do(given.gasping), ring="at once"),
        Seen(see=TWICE, do=urgent_do(given.twice), ring="at once"),
        Seen(see=DEAD, do=(DEAD_DO,), ring="by evening"),
        Seen(see=FORGOTTEN, do=(FORGOTTEN_DO,), ring="by evening"),
    )


def _statement(given: ToPrint, facts: Facts) -> Iterable[str]:
    """Lawful possession as stated, with its date, the region's lines of law, and the people near."""
    if given.course is not None:
        return stated_lines(given.course)
    if given.begun is None or not given.begun.statement:
        return ()
    packet = given.shelf.get(given.begun.supply)
    held = [given.begun.substance, *(a.substance for a in (packet.actives if packet else ()))]
    law = [
        ended(line.statement)
        for s in dict.fromkeys(held)
        if s in facts.substances
        for line in lines_of_law(facts.substances[s], given.kit.region, facts)
    ]
    return tuple(dict.fromkeys((*map(ended, given.begun.statement.splitlines()), *law)))


def _cautions(given: ToPrint, facts: Facts) -> Iterable[str]:
    """Whom it reaches and what to mind; of a running course as it was told when it began."""
    if given.course is None:
        return given.begun.told.splitlines() if given.begun else ()
    return told_lines(given.course, facts)
