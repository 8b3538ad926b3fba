"""A medicine dosed into the tank's own water, in every sensible way of giving it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from functools import cached_property, partial
from typing import NamedTuple

import numpy as np

from tankward.judge.choices import HALF_CHANGE
from tankward.judge.limit import Limit
from tankward.knowledge.beliefs import estimated
from tankward.knowledge.known import Facts
from tankward.model.draws import uniform
from tankward.model.levels import LEAST, survival
from tankward.model.rows import Array
from tankward.quantities.faults import BadInput, Refused
from tankward.quantities.parse import Estimate
from tankward.room.acts import AnyAct, Light, Media
from tankward.room.time import add_hours
from tankward.treat.course.chances import refused_from
from tankward.treat.course.changes import share_of
from tankward.treat.course.choice import Chosen
from tankward.treat.course.dates import DAY_H, MOST_ROUNDS, Timing
from tankward.treat.course.doses import Portion, part_of, portion
from tankward.treat.course.in_tank import published_timing
from tankward.treat.course.make import make_course
from tankward.treat.course.records import Course
from tankward.treat.course.request import CourseRequest
from tankward.treat.course.salt import daily_share, salt_steps
from tankward.treat.course.shape import Shape
from tankward.treat.course.steps import CARBON
from tankward.treat.course.tank import SALT, wants_dark
from tankward.treat.remedies.levels import own_span, works_from
from tankward.treat.remedies.records import Option

from .clock import Clock
from .laid import shape_acts
from .patterns import Event, Extra, Fixed, Pattern, events, rounds_of, shaped, sheet
from .records import Point
from .score import cost_of, minutes_of
from .screen import Active, factors, screen
from .way import Screen, Way

A_DAY = 24  # hours
FAR_H = 24 * 45  # how far what is left of a dose is followed; later it counts as it did then
EXTRAS = (Extra(), Extra(1, 0.1), Extra(1, 0.25), Extra(1, 0.5), Extra(2, 0.3), Extra(2, 0.5), Extra(3, 0.3))
SHARES = (0.5, 0.25, 0.0)  # changed before a further round
SIPHONS = ("ends", "changes", "daily")
FEEDS = (1.0, 0.5)
LONGER = (1.0, 1.5, 2.0)  # how long the last dose stands, of what is published


class Strength(NamedTuple):
    """How strong a full dose is: asked for as a level or as packets; and as it is measured."""

    level: float | None
    units: float | None
    full: Portion


class Draft(NamedTuple):
    """One point laid out in time."""

    clock: Clock
    pattern: Pattern
    rows: list[Event]
    end: float


class _Seen(NamedTuple):
    """A draft that went through the screen, with what is put in at each of its events."""

    screen: Screen
    draft: Draft
    factors: list[float]


class Axes(NamedTuple):
    """When it begins; how strong; how often; how far apart; how long the last dose stands; what is changed
    before a further round; what goes back; changes between; siphoning; food; warmth.
    """

    start: tuple[Clock, ...]
    strength: tuple[Strength, ...]
    rounds: tuple[int, ...]
    every: tuple[float, ...]
    stand: tuple[float, ...]
    change: tuple[float, ...]
    keeps: tuple[bool, ...]
    extra: tuple[Extra, ...]
    siphon: tuple[str, ...]
    feed: tuple[float, ...]
    warm: tuple[float | None, ...]


class At(NamedTuple):
    """A point: which value of each axis."""

    start: int = 0
    strength: int = 0
    rounds: int = 0
    every: int = 0
    stand: int = 0
    change: int = 0
    keeps: int = 0
    extra: int = 0
    siphon: int = 0
    feed: int = 0
    warm: int = 0


class Dosed(Way):
    """One regimen of one substance in the tank's own water."""

    def __init__(
        self,
        option: Option,
        chosen: Chosen,
        request: CourseRequest,
        facts: Facts,
        clocks: Sequence[Clock],
        now: datetime,
        *,
        warm_c: Sequence[float | None] = (None,),
    ) -> None:
        self.option, self.chosen, self.request, self.facts = option, chosen, request, facts
        self.clocks, self.now = tuple(clocks), now
        self.volume_l = request.volume_l or Estimate.exact(0.0)
        self.timing = published_timing(chosen, facts)
        self.salt = chosen.one.kind == SALT
        self.most_rounds = min(MOST_ROUNDS, self.timing.label or MOST_ROUNDS)
        self.strengths = _strengths(chosen, self.volume_l, request, facts)
        self.everies = _everies(chosen, self.timing)
        self.axes: Axes = Axes(
            start=self.clocks,
            strength=self.strengths,
            rounds=_rounds(self.timing),
            every=self.everies,
            stand=_stands(chosen, self.timing),
            change=SHARES,
            keeps=(False, True),
            extra=EXTRAS,
            siphon=SIPHONS,
            feed=FEEDS,
            warm=tuple(warm_c),
        )
        steps = salt_steps(self.strengths[0].full, self.volume_l, facts) if self.salt else 1
        self.fixed = Fixed(
            first=share_of(request).value,
            last=HALF_CHANGE.value,
            salt=self.salt,
            salt_out=daily_share(facts),
            steps_up=steps,
            out_h=self.timing.stand_h if self.timing.doses > 1 and not self.timing.through else None,
        )
        self._seen: dict[Point, _Seen | None] = {}
        self._parts: dict[tuple[int, float], dict[str, float]] = {}

    @property
    def published(self) -> Point:
        """As it is published: the middle of its interval, half changed before each round."""
        rounds = self.axes.rounds.index(self.timing.doses)
        every = self.everies.index(self.timing.every_h)
        salted = EXTRAS.index(Extra(3, 0.3)) if self.salt else 0
        return At(rounds=rounds, every=every, extra=salted)

    def pattern(self, point: Point) -> Pattern:
        """The values of a point."""
        at, axes = At(*point), self.axes
        return Pattern(
            rounds=axes.rounds[at.rounds],
            every_h=axes.every[at.every],
            stand_h=axes.stand[at.stand],
            change=axes.change[at.change],
            keeps=axes.keeps[at.keeps],
            extra=axes.extra[at.extra],
            siphon=axes.siphon[at.siphon],
            feed=axes.feed[at.feed],
            warm_c=axes.warm[at.warm],
        )

    def _drafted(self, point: Point) -> Draft | None:
        at = At(*point)
        clock, pattern = self.clocks[at.start], self.pattern(point)
        if pattern.rounds == 1 and (at.every or at.change):
            return None  # the same course as with other values of what does not count then
        if not pattern.extra.every_d and pattern.change == 0.0 and pattern.keeps:
            return None
        found = events(pattern, self.fixed, clock)
        return None if found is None else Draft(clock, pattern, *found)

    def screen(self, points: Sequence[Point], weights: Array, by: datetime) -> list[Screen | None]:
        """By the substance alone: siphoning, food and warmth don't count here, so each is looked at once."""
        alike = [At(*p)._replace(siphon=0, feed=0, warm=0) for p in points]
        new: dict[Point, Draft | None] = {
            p: self._drafted(p) for p in dict.fromkeys(alike) if p not in self._seen
        }
        self._seen |= dict.fromkeys(p for p, draft in new.items() if draft is None)
        for strength in range(len(self.strengths)):
            some = {p: d for p, d in new.items() if d is not None and p[1] == strength}
            if some:
                self._seen |= self._screened(some, strength, weights, by)
        found = (self._seen[p] for p in alike)
        return [None if one is None else one.screen for one in found]

    def _screened(
        self, some: dict[Point, Draft], strength: int, weights: Array, by: datetime
    ) -> dict[Point, _Seen | None]:
        drafts = list(some.values())
        made = sheet([(d.rows, d.end) for d in drafts])
        actives = self.actives(strength, weights.size)
        factor = factors(made, actives, np.array([d.pattern.keeps for d in drafts]))
        told = screen(made, factor, actives, weights, (by - self.clocks[0].start) / timedelta(hours=1))
        found: dict[Point, _Seen | None] = {}
        for k, (point, draft) in enumerate(some.items()):
            given = factor[k, : len(draft.rows)].tolist()
            if rounds_of(draft.rows, given) > self.most_rounds:
                found[point] = None  # no course: safety rule 12
                continue
            late = (draft.clock.start - self.now) / timedelta(days=1)
            seen = Screen(
                over=float(told.over[k]), at_work_h=float(told.at_work_h[k]), days=late + draft.end / DAY_H,
                steps=len(draft.rows),
            )  # fmt: skip
            found[point] = _Seen(seen, draft, given)
        return found

    def shape(self, point: Point) -> Shape:
        """Of a point that was screened, or is now.

        Raises
        ------
        BadInput
            If nobody is there for one of its steps.
        """
        alike = At(*point)._replace(siphon=0, feed=0, warm=0)
        if alike not in self._seen:
            self.screen([point], np.full(64, 1 / 64), self.clocks[0].start + timedelta(days=28))
        seen = self._seen[alike]
        if seen is None:
            raise BadInput("hours", "", "leave nobody there for a step of it.")
        draft = seen.draft
        return shaped(self.pattern(point), self.fixed, draft.rows, draft.end, seen.factors, draft.clock)

    def acts(self, point: Point) -> list[tuple[datetime, AnyAct]]:
        """What the water meets, without the dechlorinator."""
        shape, start = self.shape(point), self.clocks[point[0]].start
        given = partial(self._given, point[1])
        return shape_acts(shape, start, given, self.chosen, self.request, self.facts)

    def _given(self, strength: int, factor: float) -> dict[str, float]:
        """What goes in at a share of a full dose, as this keeper measures it."""
        key = (strength, factor)
        if key not in self._parts:
            full = self.strengths[strength].full
            part = full if factor == 1.0 else part_of(self.chosen, full, factor, self.request.kit, self.facts)
            self._parts[key] = part.amounts
        return self._parts[key]

    def ends(self, point: Point) -> datetime:
        """When it is over."""
        return add_hours(self.clocks[point[0]].start, self.shape(point).end_h)

    def course(self, point: Point) -> Course:
        """The whole course.

        Raises
        ------
        Refused
            Where somebody would be harmed.
        """
        strength = self.strengths[point[1]]
        return make_course(
            self.request, self.chosen.one.id, self.chosen.regimen.route, facts=self.facts,
            start=self.clocks[point[0]].start, now=self.now, regimen_id=self.chosen.regimen.id,
            supply=self.chosen.supply, level=strength.level, units=strength.units, shape=self.shape(point),
        )  # fmt: skip

    def link(self, point: Point) -> dict[str, object]:
        """What makes the same course again."""
        strength = self.strengths[point[1]]
        return {"shape": self.shape(point).text, "level": strength.level, "units": strength.units}

    def cost(self, point: Point) -> float | None:
        """Of the packets for all its doses."""
        full = self.strengths[point[1]].full
        if full.units is None or cost_of(full.units, self.chosen.supply) is None:
            return None
        given = sum(d.factor for d in self.shape(point).doses)
        return cost_of(full.units * given, self.chosen.supply)

    def minutes(self, point: Point) -> float:
        """The keeper's time for all of it. [min]"""
        return sum(minutes_of(self.acts(point), self.facts)) / 2

    def simpler(self, point: Point) -> list[tuple[str, Point]]:
        """The same with one thing left out."""
        at = At(*point)
        found: list[tuple[str, Point]] = []
        if at.rounds > 0:
            one = at.rounds == 1 and self.axes.rounds[0] == 1
            fewer = at._replace(rounds=at.rounds - 1)
            found.append(("fewer-doses", fewer._replace(every=0, change=0) if one else fewer))
        left_out = {
            "siphon": "no-siphon",
            "extra": "fewer-changes",
            "feed": "usual-food",
            "warm": "no-warmth",
        }
        found += [(kind, at._replace(**{name: 0})) for name, kind in left_out.items() if getattr(at, name)]
        return found

    @cached_property
    def lines(self) -> dict[str, tuple[Limit, float]]:
        """By active: the inhabitant that is refused first, and from which level."""
        found: dict[str, tuple[Limit, float]] = {}
        for verdict in self.option.bears:
            line = refused_from(verdict.limit)
            part = verdict.limit.part
            if line is not None and (part not in found or line < found[part][1]):
                found[part] = (verdict.limit, line)
        return found

    def actives(self, strength: int, draws: int) -> tuple[Active, ...]:
        """What a full dose holds, with what is left of it hour by hour."""
        return tuple(self._active(s, strength, draws) for s in self.strengths[strength].full.amounts)

    def _active(self, substance: str, strength: int, draws: int) -> Active:
        amount = self.strengths[strength].full.amounts[substance]
        volume = estimated(self.volume_l, uniform("volume_l", draws))
        left, met = (self._left(substance, amount / self.volume_l.value, m, draws) for m in (False, True))
        ceilings = [row.refuse_above for row in self.facts.substances[substance].ceiling]
        line = min([self.lines[substance][1]] if substance in self.lines else [], default=float("inf"))
        works = works_from(substance, self.chosen.situation.causes, (self.chosen.regimen.route,), self.facts)
        return Active(
            substance, amount / volume, left, met, np.full(draws, self.request.still_in.get(substance, 0.0)),
            min([line, *ceilings]), float("nan") if works is None else works,
        )  # fmt: skip

    def _left(self, substance: str, level: float, met: bool, draws: int) -> Array:
        key = (substance, met, draws)  # the share that goes does not hang on the level
        if key not in self._curves:
            start = self.clocks[0].start
            dark: list[tuple[datetime, AnyAct]] = [(start, Light(hours_per_day=0.0))] if self.dark else []
            two_days = survival(
                substance, [*dark, (start, Media(medium=CARBON, into=False))], facts=self.facts,
                volume_l=self.volume_l, start=start, hours=2 * A_DAY, level=level,
                temp_c=self.request.temp_c, light_h=self.request.tank.light_h,
                filter=self.request.tank.filter, met=met, draws=draws,
            )  # fmt: skip
            self._curves[key] = repeated(two_days, FAR_H)
        return self._curves[key]

    @cached_property
    def _curves(self) -> dict[tuple[str, bool, int], Array]:
        return {}

    @cached_property
    def dark(self) -> bool:
        return wants_dark(self.chosen, self.facts)


def repeated(two_days: Array, hours: int) -> Array:
    """What is left hour by hour, where nothing but day and night changes how fast it goes: each day as the
    second one.
    """
    a_day = two_days[2 * A_DAY] / two_days[A_DAY]
    days = np.arange(hours // A_DAY)[:, None, None]
    later = two_days[None, A_DAY : 2 * A_DAY] * a_day[None, None, :] ** days
    found = np.concatenate([two_days[:A_DAY], later.reshape(-1, two_days.shape[1])])
    kept: Array = np.maximum(found[: hours + 1], LEAST)
    return kept


def _rounds(timing: Timing) -> tuple[int, ...]:
    """One up to the published number, never more than the label says nor than three (safety rule 12)."""
    most = min(MOST_ROUNDS, timing.label or MOST_ROUNDS, max(timing.published or 1, timing.doses))
    return tuple(range(1, most + 1))


def _everies(chosen: Chosen, timing: Timing) -> tuple[float, ...]:
    """The published span between two doses, its ends and its middle. [h]"""
    low, high = chosen.regimen.interval_d_low, chosen.regimen.interval_d_high
    found = [timing.every_h, *(d * DAY_H for d in (low, high) if d)]
    if low and high and high - low >= 3:
        found += [round(low + (high - low) * share) * DAY_H for share in (0.25, 0.75)]
    return tuple(sorted(set(found)))


def _stands(chosen: Chosen, timing: Timing) -> tuple[float, ...]:
    """How long the last dose stands: as the course has it, and where it is left in, longer. [h]"""
    low, high = chosen.regimen.duration_h_low, chosen.regimen.duration_h_high
    found = [timing.stand_h]
    if chosen.regimen.left_in or high is None:
        found += [timing.stand_h * factor for factor in LONGER]
    found += [h for h in (low, high) if h and h >= DAY_H]
    return tuple(dict.fromkeys(min(h, 30 * DAY_H) for h in found))


def _strengths(
    chosen: Chosen, volume_l: Estimate, request: CourseRequest, facts: Facts
) -> tuple[Strength, ...]:
    """The published span as it can be measured; of packets whole and half ones too. The weakest first."""
    asked: list[tuple[float | None, float | None]] = [(None, None)]
    span = own_span(chosen.regimen, chosen.one)
    if span is not None and span[1] > span[0]:
        asked += [(span[0] + (span[1] - span[0]) * share, None) for share in (0.5, 1.0)]
    found: list[Strength] = []
    for level, units in [*asked, *_whole(chosen, volume_l, request, facts)]:
        try:
            full = portion(chosen, volume_l.value, request.kit, facts, level=level, units=units)
        except (BadInput, Refused):
            continue
        if all(full.amounts != s.full.amounts for s in found) and full.measured.tool != "none":
            found.append(Strength(level, units, full))
    if not found:
        raise BadInput("level", "", f"of {chosen.one.names[0]} can't be measured here.")
    return tuple(found)


def _whole(
    chosen: Chosen, volume_l: Estimate, request: CourseRequest, facts: Facts
) -> list[tuple[float | None, float | None]]:
    """Whole and half packets around what is wanted: nobody has to part one."""
    if chosen.supply is None or chosen.supply.unit in ("mL", "ml", "g", "drop", "drops"):
        return []
    try:
        usual = portion(chosen, volume_l.value, request.kit, facts).units
    except (BadInput, Refused):
        return []
    if usual is None:
        return []
    halves = {max(0.5, round(2 * usual) / 2), -(-2 * usual // 1) / 2}
    return [(None, n) for n in sorted(halves)]
