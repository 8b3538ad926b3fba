"""What is in the water now: against what is published, against those who live there, and the changes that
bring it down.
"""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.judge.bearing import Harmed, Safe, harmed, safe_level
from tankward.judge.shock import Bound, Mixes, bound_of
from tankward.judge.thinning import Series, thinning
from tankward.judge.trials import Trial, trials_of
from tankward.judge.urgent import Told, old_or_acid
from tankward.judge.verdicts import Verdict
from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.room.acts import Dose
from tankward.room.entries.acts import CourseBegun
from tankward.room.replay import Room
from tankward.room.things import Stock
from tankward.treat.amounts.published import Published, beyond
from tankward.treat.course.request import left_in
from tankward.treat.label_parts import dosed_published
from tankward.treat.medicine import is_medicine

from .waters import tank_water, tap_water

STEP = 1.05  # as in a course: what is rounded to what can be measured is not too much [our own choice]
TRACE = 0.01  # of the lowest published level; less is nothing to tell of [our own choice]
PRESUMED = ("fry", "egg")


class InIt(msgspec.Struct, frozen=True, kw_only=True):
    """One medicine in the water."""

    substance: str
    level: Estimate
    published: Published | None
    lies: str  # below, within, above or refused; "" where nothing is published
    safe: Safe
    harmed: Harmed
    thin: Series | None  # water changes that bring it under what is safe; None where it is

    @property
    def unit(self) -> str:
        return self.published.unit if self.published else "mg/L"

    @property
    def over(self) -> bool:
        return self.lies in ("above", "refused")

    @property
    def surely_over(self) -> bool:
        """Over it by more than a scale's step: worth the heading of its tank."""
        return self.over and self.published is not None and self.level.value > self.published.high * STEP

    @property
    def out(self) -> tuple[Verdict, ...]:
        """Those for whom changes alone are too slow, or who can bear none of it."""
        return tuple(
            v
            for v, hours in self.harmed.rows
            if v.limit.who in self.safe.none or self.thin is None or not self.thin.within(hours)
        )

    def within_h(self, who: Verdict) -> float:
        """How long those of a verdict may be left in it. [h]"""
        return next((h for v, h in self.harmed.rows if v == who), 0.0)


class _Here(msgspec.Struct, frozen=True, kw_only=True):
    """What every medicine of one tank is held against."""

    stock: list[Stock]
    trials: tuple[Trial, ...]
    treated: frozenset[str]  # what the course that runs gives: its young were asked for when it began
    old: Mixes
    new: Mixes
    bound: Bound
    small: bool


def in_it(room: Room, tank: str, now: datetime, facts: Facts, told: Told) -> tuple[InIt, ...]:
    """The medicines of the last weeks that are still there, what harms somebody first.

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
    told : Told
        Whether the tank may be old and acid.
    """
    here = _here(room, tank, now, facts, told)
    found = [
        _held(substance, level, here, facts)
        for substance, level in left_in(room, tank, facts, now).items()
        if is_medicine(substance, facts) and level.high > 0.0
    ]
    worth = [f for f in found if not f.published or f.level.high > TRACE * f.published.low]
    return tuple(sorted(worth, key=lambda f: (not f.out, not f.harmed.rows, f.thin is None, not f.over)))


def _here(room: Room, tank: str, now: datetime, facts: Facts, told: Told) -> _Here:
    stock, course = room.stock_of(tank), room.courses.get(tank)
    return _Here(
        stock=stock,
        trials=trials_of(room, tank),
        treated=given_by(course) if course else frozenset(),
        old=tank_water(room, tank, now),
        new=tap_water(room, now),
        bound=bound_of(facts, {s.kind for s in stock}, tender=any(s.stage == "fry" for s in stock)),
        small=old_or_acid(told),
    )


def given_by(course: CourseBegun) -> frozenset[str]:
    """Actives of its doses."""
    return frozenset(s for step in course.steps if isinstance(step.act, Dose) for s in step.act.actives)


def _held(substance: str, level: Estimate, here: _Here, facts: Facts) -> InIt:
    span = dosed_published(substance, facts)
    not_there = PRESUMED if substance in here.treated else ()
    safe = safe_level(
        substance, here.stock, facts, published=span.high if span else None,
        published_from=(span.source, span.status) if span else ("none", "memory"),
        trials=here.trials, not_there=not_there,
    )  # fmt: skip
    counted = level.value
    if safe.level is not None and counted <= safe.level * STEP:
        counted = min(counted, safe.level)
    return InIt(
        substance=substance,
        level=level,
        published=span,
        lies=beyond(level.value, span) if span else "",
        safe=safe,
        harmed=harmed(substance, counted, here.stock, facts, here.trials, not_there),
        thin=_thin(substance, level, safe, span.unit if span else "mg/L", here, facts),
    )


def _thin(substance: str, level: Estimate, safe: Safe, unit: str, here: _Here, facts: Facts) -> Series | None:
    if safe.level is None or level.value <= safe.level * STEP:
        return None
    return thinning(
        substance, level, safe.level, facts, unit=unit, old=here.old, new=here.new, bound=here.bound,
        small=here.small,
    )  # fmt: skip
