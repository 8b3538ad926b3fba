"""A plan: search, the few best refined, each with what it gains and gives up; or why there is none."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta

from msgspec.structs import replace

from tankward.knowledge.known import Facts
from tankward.model.suspect import of_causes
from tankward.quantities.faults import Refused
from tankward.quantities.parse import Estimate
from tankward.room.replay import Room
from tankward.treat.course.records import Course
from tankward.treat.course.request import CourseRequest
from tankward.treat.course.watching import cycle_d
from tankward.treat.medicine import is_medicine
from tankward.treat.remedies.reach import organisms_of
from tankward.treat.remedies.records import Options
from tankward.treat.remedies.transfers import USUAL_C

from .front import BESTS, GIVEN_UP, Key, Named, measures, named
from .judging import Judging
from .looser import in_the_way
from .nothing import name_of, why_nothing
from .packet import packets
from .records import Loss, Plan, Planned, Point, Score, Wishes
from .score import days_from, minutes_of, tops_of_option
from .search import THREADS, Budget, Found, Search, search
from .then import followed, of_first_turn
from .turns import short_turns
from .way import Way
from .ways import Ways, setting, ways_of

COURSE_D = 14  # a usual course; the day that counts lies a cycle after it [our own choice]
LEAST_D, MOST_D = 21, 42  # [our own choice]
GERMS = 2  # followed at once
SCREEN, MIDDLE, FINE = 64, 256, 1024  # draws

Told = Callable[[str, int, int], None]


def make_plan(
    room: Room,
    request: CourseRequest,
    options: Options,
    wishes: Wishes,
    now: datetime,
    facts: Facts,
    *,
    budget: Budget = Budget(),
    told: Told = lambda stage, done, of: None,
    first: Callable[[Planned], None] = lambda planned: None,
    look_further: bool = True,
) -> Plan:
    """The few courses that are each the best of their kind.

    Parameters
    ----------
    room : Room
        As it stands.
    request : CourseRequest
        The tank, and all that is known of it.
    options : Options
        What is open for the causes, and what is ruled out.
    wishes : Wishes
        What the keeper said.
    now : datetime
        With its zone.
    facts : Facts
        The facts.
    budget : Budget
        How many drafts are screened, simulated, refined.
    told : callable
        Stage, done, of.
    first : callable
        Given the first sound course as soon as it is there.
    look_further : bool
        Where nothing holds: look whether it would without one of the wishes.

    Returns
    -------
    Plan
        Courses, or the reasons why there is none.

    Raises
    ------
    Refused
        If more chance of harm was asked for than is safe.
    """
    for what in wishes.most:
        wishes.most_of(what)
    here = setting(request, wishes, now, facts)
    causes, remedies = of_first_turn(options)
    open_ways = ways_of(remedies, here)
    by = by_day(request, causes, wishes, now, facts)
    suspects = of_causes([(cause, None) for cause in causes], facts)[:GERMS]
    judging = Judging(room, request, suspects, now, by, facts, wishes)
    planner = _Planner(open_ways, judging, wishes, by, now, facts)
    with short_turns():
        found = planner.search(budget, told, first)
        best = planner.best(found, budget, told)
    courses = tuple(followed(p, options, here, room) for p in best)
    plan = Plan(
        tank=request.tank.id, causes=options.causes, now=now, by=by, wishes=wishes, courses=courses,
        packets=packets(here, options, judging), ruled_out=options.ruled_out,
        left_alone=judging.left_alone(), searched=replace(found.counted, refined=planner.refined),
    )  # fmt: skip
    if courses:
        return plan
    reasons = why_nothing(plan, open_ways, found, here)
    if look_further:
        small = Budget(*(max(4, n // SMALLER) for n in budget))
        wishing = in_the_way(
            wishes,
            lambda w: make_plan(room, request, options, w, now, facts, budget=small, look_further=False),
            lambda option: name_of(option, facts),
        )
        reasons = (*wishing, *reasons)
    return replace(plan, nothing=reasons)


SMALLER = 8  # of the whole search, to see whether there is any course at all


def by_day(
    request: CourseRequest, causes: Sequence[str], wishes: Wishes, now: datetime, facts: Facts
) -> datetime:
    """The day by which the goal counts: a usual course, and a cycle of the slowest organism after it."""
    if wishes.over_by is not None:
        return wishes.over_by
    temp = request.temp_c or Estimate.exact(USUAL_C)
    cycles = [cycle_d(o, temp) for o in organisms_of(tuple(causes), facts)]
    longest = max((c[1] for c in cycles if c is not None), default=7.0)
    return now + timedelta(days=min(MOST_D, max(LEAST_D, COURSE_D + math.ceil(longest))))


class _Planner:
    """One plan in the making."""

    def __init__(
        self, ways: Ways, judging: Judging, wishes: Wishes, by: datetime, now: datetime, facts: Facts
    ) -> None:
        self.ways, self.judging, self.wishes = ways.ways, judging, wishes
        self.by, self.now, self.facts = by, now, facts
        self.refined = 0
        self._shown = False
        self._courses: dict[tuple[int, Point], Course | None] = {}

    def search(self, budget: Budget, told: Told, first: Callable[[Planned], None]) -> Search:
        def scorer(way: int, point: Point) -> Score:
            score = self.draft_score(self.ways[way], point, SCREEN)
            if score.sound and not self._shown:
                self._shown = True
                planned = self.refine(way, point, SCREEN)
                if planned is not None:
                    first(planned)
            return score

        weights = self.judging.weights(SCREEN)
        return search(self.ways, scorer, weights, self.by, self.wishes, budget=budget, told=told)

    def draft_score(self, way: Way, point: Point, draws: int) -> Score:
        tops = tops_of_option(way.option, self.facts)
        acts = way.acts(point)
        if acts is None:
            return self.judging.scored_course(way.course(point), tops, draws, way.cost(point))
        return self.judging.scored(
            acts,
            tops,
            draws,
            days=days_from(self.now, way.ends(point)),
            minutes=minutes_of(acts, self.facts),
            cost=way.cost(point),
        )

    def best(self, found: Search, budget: Budget, told: Told) -> tuple[Planned, ...]:
        """The best of each kind, as they are; what does not hold then gives way to the next of its kind."""
        kept: list[Planned] = []
        places: list[tuple[int, Point]] = []
        queue = self._finalists(found, budget.refined)
        with ThreadPoolExecutor(THREADS) as pool:
            rows = pool.map(lambda n: self.refine(found.found[n].way, found.found[n].point, MIDDLE), queue)
            for n, planned in zip(queue, rows, strict=True):
                self.refined += 1
                told("refined", self.refined, len(queue))
                if planned is not None and planned.score.sound:
                    kept.append(planned)
                    places.append((found.found[n].way, found.found[n].point))
            shown = self._confirmed(kept, places, pool)
            losses = pool.map(lambda one: self.losses(*places[one.at]), shown)
            rows_shown = list(zip(shown, losses, strict=True))
        return tuple(replace(kept[one.at], best=one.best, losses=lost) for one, lost in rows_shown)

    def _confirmed(
        self, kept: list[Planned], places: Sequence[tuple[int, Point]], pool: ThreadPoolExecutor
    ) -> list[Named]:
        """Those that are shown, each judged with all draws; `kept` holds their scores of then."""
        bare = [not is_medicine(p.course.substance, self.facts) for p in kept]
        fine: set[int] = set()
        while True:
            shown = named([p.score for p in kept], bare, lambda k: _alike(kept[k]))
            new = [one.at for one in shown if one.at not in fine]
            if not new:
                return shown
            scores = pool.map(lambda k: self.course_score(kept[k].course, *places[k], FINE), new)
            for k, score in zip(new, scores, strict=True):
                kept[k] = replace(kept[k], score=score)
            fine |= set(new)

    def course_score(self, course: Course, way: int, point: Point, draws: int) -> Score:
        """Of a course by its own acts."""
        one = self.ways[way]
        tops = tops_of_option(one.option, self.facts)
        return self.judging.scored_course(course, tops, draws, one.cost(point))

    def _finalists(self, found: Search, most: int) -> list[int]:
        """Of each measure the best ones in turn, of those that nothing refuses as a course."""
        sound = [n for n, f in enumerate(found.found) if f.score.sound]
        left = {n: measures(found.found[n].score)[0] for n in sound}
        surest = (n for n in sorted(sound, key=lambda n: left[n]) if self._can(found.found[n]))
        least = left[next(surest, sound[0])] if sound else 0.0
        able = [n for n in sound if left[n] <= least + GIVEN_UP]
        rows = [sorted(able, key=_of(found, key)) for _, key in BESTS]
        bare = [
            n for n in sound if not is_medicine(self.ways[found.found[n].way].option.substance, self.facts)
        ]
        rows.append(sorted(bare, key=_of(found, BESTS[0][1])))
        order = dict.fromkeys(row[k] for k in range(len(sound)) for row in rows if k < len(row))
        return list(itertools.islice((n for n in order if self._can(found.found[n])), most))

    def _can(self, found: Found) -> bool:
        """Whether it can be made into a course."""
        return self._course(found.way, found.point) is not None

    def _course(self, way: int, point: Point) -> Course | None:
        if (way, point) not in self._courses:
            try:
                self._courses[way, point] = self.ways[way].course(point)
            except Refused:
                self._courses[way, point] = None
        return self._courses[way, point]

    def refine(self, way: int, point: Point, draws: int) -> Planned | None:
        """The course itself, judged by its own acts; None where it is refused."""
        one = self.ways[way]
        course = self._course(way, point)
        if course is None:
            return None
        score = self.course_score(course, way, point, draws)
        return Planned(best=(), option=one.option, course=course, score=score, **one.link(point))  # type: ignore[arg-type]

    def losses(self, way: int, point: Point) -> tuple[Loss, ...]:
        """What each simplification would lose, with the draws of the search."""
        one = self.ways[way]
        base = self.draft_score(one, point, SCREEN)
        found = []
        for kind, other in one.simpler(point):
            if one.screen([other], self.judging.weights(SCREEN), self.by)[0] is None:
                continue
            score = self.draft_score(one, other, SCREEN)
            clear = (
                None if base.clear is None or score.clear is None else base.clear.value - score.clear.value
            )
            found.append(
                Loss(
                    kind=kind, clear=clear, harm=score.harm - base.harm,
                    minutes=(sum(base.minutes) - sum(score.minutes)) / 2, sound=score.sound,
                )
            )  # fmt: skip
        return tuple(found)


def _of(found: Search, key: Key) -> Callable[[int], tuple[float, ...]]:
    return lambda n: key(found.found[n].score)


def _alike(planned: Planned) -> object:
    """Courses that a keeper would call the same: the same remedy, and the same hours from its start."""
    course = planned.course
    done = [s for s in course.steps if s.kind in ("dose", "put-back", "change", "heat", "feed")]
    return planned.option.id, tuple((s.at - course.start, s.kind) for s in done)
