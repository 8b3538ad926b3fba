"""Plans that nobody waits for: the search goes on beside the page, which is told truly how far it is."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Hashable, Sequence
from concurrent.futures import Future
from datetime import datetime, timedelta

import msgspec

from tankward.knowledge.known import Facts
from tankward.model.forecast import forecast
from tankward.model.result import Forecast
from tankward.room.acts import AnyAct
from tankward.room.replay import Room
from tankward.treat.course.acts import asked_by, planned_acts
from tankward.treat.course.records import Course
from tankward.treat.planner.records import Plan, Planned
from tankward.treat.planner.search import Budget

from .background import Background, Ready, Worker, answered
from .desk import Desk
from .plans import PlanWish, plan_for

STAGES = ("screened", "simulated", "refined")
GOOD_FOR = timedelta(minutes=30)  # after that its first steps lie in the past [our own choice]
KEPT = 16
DRAWS = 256  # of a drawing: enough for its edges, and there before the words are read
DAY = timedelta(days=1)
LONGEST_D = 30.0  # a forecast further than this says little [our own choice]


class LetGo(Exception):
    """Nobody asks for it any more."""


class Stage(msgspec.Struct, frozen=True, kw_only=True):
    """How far one stage of the search is."""

    name: str
    done: int
    of: int


class Coming(msgspec.Struct, frozen=True, kw_only=True):
    """A plan, or how far the search for it is, with the first sound course as soon as there is one."""

    plan: Plan | None = None
    first: Planned | None = None
    stages: tuple[Stage, ...] = ()
    pending: bool = False
    fault: str = ""


class _Searching:
    """One search: written by its own thread, read by the pages."""

    def __init__(self, now: datetime, budget: Budget) -> None:
        self.began = now
        self.future: Future[Plan] | None = None
        self.first: Planned | None = None
        self.let_go = threading.Event()
        self._of = {"screened": budget.screened, "simulated": budget.simulated, "refined": budget.refined}
        self._done = dict.fromkeys(STAGES, 0)

    def told(self, stage: str, done: int, of: int) -> None:
        if self.let_go.is_set():
            raise LetGo
        self._done[stage], self._of[stage] = min(done, of), of

    def found(self, planned: Planned) -> None:
        self.first = planned

    def coming(self) -> Coming:
        assert self.future is not None
        stages = tuple(Stage(name=s, done=self._done[s], of=self._of[s]) for s in STAGES)
        ready: Ready[Plan] = answered(self.future)
        return Coming(
            plan=ready.answer, first=self.first, stages=stages, pending=ready.pending, fault=ready.fault
        )

    def old(self, now: datetime) -> bool:
        """Whether it was begun too long ago: its first steps may lie in the past."""
        return abs(now - self.began) > GOOD_FOR


class Plans:
    """One room's plans, each searched once, and the forecasts from which its courses are drawn."""

    def __init__(self, desk: Desk, facts: Facts, budget: Budget = Budget()) -> None:
        self.budget = budget
        self._desk, self._facts = desk, facts
        self._lock = threading.Lock()
        self._asked: OrderedDict[Hashable, _Searching] = OrderedDict()
        self._worker: Worker[Plan] = Worker("plan")
        self._drawn: Background[Forecast] = Background("plan-drawn")

    def of(self, tank: str, wish: PlanWish, now: datetime, zone: str) -> Coming:
        """The plan for these wishes; begun where nobody asked for it yet, or too long ago.

        Whoever asks for another plan has turned away from the one before: that search is let go.
        """
        question = (self._desk.digest, self._facts.digest, tank, wish, zone)
        with self._lock:
            found = self._asked.get(question)
            if found is not None and found.old(now):
                found.let_go.set()
                found = None
            if found is None:
                self._turn_away()
                found = self._asked[question] = self._begin(tank, wish, now, zone)
                while len(self._asked) > KEPT:
                    self._asked.popitem(last=False)
        return found.coming()

    def _begin(self, tank: str, wish: PlanWish, now: datetime, zone: str) -> _Searching:
        one, room = _Searching(now, self.budget), self._desk.room()
        one.future = self._worker.submit(
            lambda: plan_for(
                room, tank, wish, now, zone, self._facts, budget=self.budget, told=one.told, first=one.found
            )
        )
        return one

    def _turn_away(self) -> None:
        """What is still being searched is let go, and would begin anew if it were asked for again."""
        for question, one in list(self._asked.items()):
            if one.future is not None and not one.future.done():
                one.let_go.set()
                del self._asked[question]

    def drawn(self, course: Course, now: datetime, days: float) -> Ready[Forecast]:
        """What comes with a course, for its drawing."""
        room = self._desk.room()
        question = (self._desk.digest, self._facts.digest, *asked_by(course), days)
        return self._drawn.of(question, lambda: drawn_forecast(room, course, now, self._facts, days))

    def close(self) -> None:
        """Nothing more is begun; what is being searched is let go."""
        with self._lock:
            for one in self._asked.values():
                one.let_go.set()
        self._worker.close()
        self._drawn.close()


def drawn_forecast(room: Room, course: Course, now: datetime, facts: Facts, days: float) -> Forecast:
    """The water with the course's acts, so many days ahead."""
    acts: list[tuple[datetime, AnyAct]] = planned_acts(course)
    return forecast(room, course.tank, now, facts=facts, days=days, planned=acts, draws=DRAWS)


def days_of(courses: Sequence[Course], now: datetime) -> float:
    """So many days that every course is over: the same for all, so that they can be compared."""
    lasts = [max([c.ends, *(at for at, _ in planned_acts(c))]) for c in courses]
    longest = max(((last - now) / DAY for last in lasts), default=1.0)
    return float(min(LONGEST_D, max(3, -(-longest // 1))))


__all__ = ["STAGES", "Coming", "LetGo", "Plans", "Stage", "days_of", "drawn_forecast"]
