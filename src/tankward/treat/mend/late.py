"""A dose that is late or was missed: give it now, or wait, so that no two stand closer than they may."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Literal

import msgspec

from tankward.judge.bearing import Safe
from tankward.knowledge.known import Facts
from tankward.model.levels import levels
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer, Working, answer
from tankward.room.acts import AnyAct, Change, Dose
from tankward.room.entries.acts import CourseBegun, Done, Step
from tankward.room.replay import Room
from tankward.room.time import hours_between
from tankward.room.volume import litres
from tankward.treat.course.request import STILL_IN
from tankward.treat.drugs_ahead import works_from
from tankward.treat.medicine import is_medicine
from tankward.treat.remedies.levels import aimed_rows

from .inside import STEP, InIt

DAY_H = 24.0
FULL_ALREADY = 1.25  # of a full dose: so much in the water needs no other one [our own choice]
NOT_LATE = timedelta(minutes=1)
TOGETHER = timedelta(hours=1)  # the change that belongs to a dose is late with it
Advice = Literal["give", "give-and-move", "wait", "leave-out"]


class Late(msgspec.Struct, frozen=True, kw_only=True):
    """One active of a dose that is late, and what to do about it.

    `give`: now, the rest as planned. `give-and-move`: now, and the next one not before `next_then`. `wait`:
    the dose before it was later than planned as well; not before `give_at`. `leave-out`: a full dose is
    still in, or it would pass what everybody bears.
    """

    step: str
    planned: Step
    substance: str
    unit: str
    due: datetime
    advice: Advice
    give_at: datetime
    next_at: datetime | None  # as planned
    next_then: datetime | None  # as it has to be
    apart_h: float  # two doses stand no closer
    level: Estimate  # now
    works: float | None
    safe: float | None
    peak: Estimate  # right after, given at `give_at`
    peak_next: Estimate | None  # right after the next one, given at `next_then`

    @property
    def under(self) -> bool:
        """Whether what is left lies under what works."""
        return self.works is not None and self.level.value < self.works


class _Story(msgspec.Struct, frozen=True, kw_only=True):
    room: Room
    tank: str
    now: datetime
    facts: Facts
    volume: Estimate
    open: tuple[Step, ...]
    inside: tuple[InIt, ...]

    @property
    def course(self) -> CourseBegun | None:
        return self.room.courses.get(self.tank)


def late_doses(
    room: Room,
    tank: str,
    now: datetime,
    facts: Facts,
    open_steps: Sequence[Step],
    inside: Sequence[InIt],
    *,
    step: str = "",
) -> tuple[Late, ...]:
    """The dose that is most overdue, active by active; nothing where none is, or the litres are not known.

    Parameters
    ----------
    room : Room
        The logbook, replayed.
    tank : str
        Its id.
    now : datetime
        With zone.
    facts : Facts
        The facts.
    open_steps : sequence of Step
        Of the course that runs: neither done nor left out.
    inside : sequence of InIt
        What is in the water now.
    step : str
        Id of the step that is meant; "", or one that is not late: the last dose that is.

    Notes
    -----
    Two doses stand no closer than the least interval of the recommended course, or the label's; where neither
    says one, than planned. Levels by `model/levels`, from what really happened. It is left out where more
    than a full dose is in, or where it would come higher than both what everybody bears and what the course
    itself would have come to.
    """
    volume = litres(room.tanks[tank])
    doses = [s for s in sorted(open_steps, key=lambda s: s.at) if is_dose(s, facts)]
    late = [s for s in doses if s.at <= now]
    due = [s for s in late if s.id == step] or late
    if volume is None or not due:
        return ()
    story = _Story(
        room=room,
        tank=tank,
        now=now,
        facts=facts,
        volume=volume,
        open=tuple(open_steps),
        inside=tuple(inside),
    )
    missed = due[0] if due[0].id == step else due[-1]
    actives = missed.act.actives if isinstance(missed.act, Dose) else {}
    return tuple(_late(story, missed, s, doses) for s in actives if is_medicine(s, facts))


def is_dose(step: Step, facts: Facts) -> bool:
    """Whether a step gives a medicine."""
    return isinstance(step.act, Dose) and is_medicated(step.act, facts)


def is_medicated(act: Dose, facts: Facts) -> bool:
    """Whether a dose is one of a medicine, not only of what makes tap water fit."""
    return any(is_medicine(s, facts) for s in act.actives)


def _late(story: _Story, missed: Step, substance: str, doses: Sequence[Step]) -> Late:
    later = [s for s in doses if s.at > max(missed.at, story.now) and substance in _actives(s)]
    following = later[0] if later else None
    apart = least_apart_h(story.room, story.course, missed, substance, following, story.facts)
    before = _given_before(story, substance)
    give_at = max(story.now, before + timedelta(hours=apart)) if before else story.now
    next_then = max(following.at, give_at + timedelta(hours=apart)) if following else None
    known = next((x for x in story.inside if x.substance == substance), None)
    level = known.level if known else Estimate.exact(0.0)
    safe = known.safe if known else None
    peak, peak_next = _peaks(story, missed, substance, give_at, following, next_then)
    course = story.course
    works = works_from(substance, (course.cause,) if course and course.cause else (), story.facts)
    return Late(
        step=missed.id,
        planned=missed,
        substance=substance,
        unit=known.unit if known else "mg/L",
        due=missed.at,
        advice=_advice(story, missed, substance, level, peak, safe, give_at, following, next_then),
        give_at=give_at,
        next_at=following.at if following else None,
        next_then=next_then,
        apart_h=apart,
        level=level,
        works=works[0] if works else None,
        safe=safe.level if safe else None,
        peak=peak,
        peak_next=peak_next,
    )


def _actives(step: Step) -> dict[str, float]:
    return step.act.actives if isinstance(step.act, Dose) else {}


def _advice(
    story: _Story,
    missed: Step,
    substance: str,
    level: Estimate,
    peak: Estimate,
    safe: Safe | None,
    give_at: datetime,
    following: Step | None,
    next_then: datetime | None,
) -> Advice:
    full = max(_actives(s).get(substance, 0.0) for s in _planned(story, missed)) / story.volume.value
    as_planned = _level_after(story, substance, _as_planned(story, missed), missed.at)
    most = max(as_planned.value, safe.level if safe and safe.level else as_planned.value)
    over = peak.value > most * STEP
    if level.value > FULL_ALREADY * full or over:
        return "leave-out"
    if give_at > story.now + NOT_LATE:
        return "wait"
    moved = following is not None and next_then is not None and next_then > following.at + NOT_LATE
    return "give-and-move" if moved else "give"


def _as_planned(story: _Story, missed: Step) -> list[tuple[datetime, AnyAct]]:
    """What the water would have met until then, had all gone as planned."""
    began = story.course.at if story.course else story.now
    before = [(at, act) for at, act in story.room.acts(story.tank) if began - STILL_IN <= at < began]
    return [*before, *((s.at, s.act) for s in _planned(story, missed) if s.at <= missed.at)]


def _planned(story: _Story, missed: Step) -> tuple[Step, ...]:
    return story.course.steps if story.course else (missed,)


def least_apart_h(
    room: Room, course: CourseBegun | None, missed: Step, substance: str, following: Step | None, facts: Facts
) -> float:
    """Two doses of it stand no closer. [h]"""
    packet = room.shelf.get(course.supply) if course else None
    rule = packet.rule.repeat_after_h if packet and packet.rule else None
    if rule:
        return rule
    causes = (course.cause,) if course and course.cause else ()
    rows = aimed_rows(substance, causes, ("water_long",), facts)
    published = [24.0 * r.interval_d_low for r in rows if r.interval_d_low]
    planned = hours_between(missed.at, following.at) if following else DAY_H
    return min([*published, planned] if following else published or [planned])


def _given_before(story: _Story, substance: str) -> datetime | None:
    """When it was last given as a step of this course, or by hand."""
    found = [
        e.at
        for e in story.room.of_tank(story.tank)
        if isinstance(e, Done) and isinstance(e.act, Dose) and substance in e.act.actives
    ]
    since = [at for at in found if story.now - STILL_IN <= at <= story.now]
    return max(since, default=None)


def _peaks(
    story: _Story,
    missed: Step,
    substance: str,
    give_at: datetime,
    following: Step | None,
    next_then: datetime | None,
) -> tuple[Estimate, Estimate | None]:
    """Right after the late one, and right after the next, with what is planned in between."""
    past = [(at, act) for at, act in story.room.acts(story.tank) if story.now - STILL_IN <= at <= story.now]
    with_it = [s.act for s in story.open if isinstance(s.act, Change) and abs(s.at - missed.at) <= TOGETHER]
    acts: list[tuple[datetime, AnyAct]] = [*past, *((give_at, act) for act in (*with_it, missed.act))]
    peak = _level_after(story, substance, acts, give_at)
    if following is None or next_then is None:
        return peak, None
    moved = next_then - following.at
    between = [
        (s.at + moved, s.act)
        for s in story.open
        if not isinstance(s.act, Dose) and missed.at + TOGETHER < s.at <= following.at
    ]
    ahead = [(at, act) for at, act in between if give_at < at <= next_then]
    return peak, _level_after(story, substance, [*acts, *ahead, (next_then, following.act)], next_then)


def _level_after(
    story: _Story, substance: str, acts: Sequence[tuple[datetime, AnyAct]], at: datetime
) -> Estimate:
    tank = story.room.tanks[story.tank]
    found = levels(
        substance, acts, facts=story.facts, volume_l=story.volume, temp_c=tank.temp_c, light_h=tank.light_h,
        filter=tank.filter, until=at,
    )  # fmt: skip
    return found.end


def late_answer(x: Late) -> Answer:
    """The working of a late dose: what is left, what it makes, what may stay."""
    work = Working("levels by the model, from what really happened")
    amount = x.planned.act.actives[x.substance] if isinstance(x.planned.act, Dose) else 0.0
    work.step("in it now", "by the model", x.level.value, x.unit)
    if x.works is not None:
        work.step("works from", "the lowest that is recommended", x.works, x.unit)
    if x.safe is not None:
        work.step("may stay", "what everybody bears, the most that is published", x.safe, x.unit)
    work.step("apart", "two doses stand no closer", x.apart_h, "h")
    work.step("right after it", "in it then + dose ÷ volume", x.peak.value, x.unit)
    if x.peak_next is not None:
        work.step("right after the next", "by the model", x.peak_next.value, x.unit)
    unit = "mg" if x.unit == "mg/L" else "uL"
    work.step("dose", "as it was planned", amount, unit)
    return answer(amount, unit, work, says="{shown}")
