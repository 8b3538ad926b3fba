"""What a keeper wishes of a plan, what a course is worth, and what a plan is."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Literal

import msgspec

from tankward.quantities.faults import Reason, Refused
from tankward.quantities.parse import Estimate
from tankward.room.hours import Hours
from tankward.treat.course.records import Course
from tankward.treat.remedies.records import Option, RuledOut

MOST = 0.05  # chance of passing a line that a course may have at most [our own choice]
# Where the tank would pass it more often with nothing done, a course that makes it no worse is borne up to
# here: refusing all of them would leave the fish ill and the water no better. [our own choice]
OWN_MOST = 0.15
What = Literal["over-limit", "nh3", "nitrite", "oxygen", "ph"]
WHATS: tuple[What, ...] = ("over-limit", "nh3", "nitrite", "oxygen", "ph")
Goal = Literal["gone", "brought-low"]  # of an organism that can go, and of one that is never gone
Best = Literal["surest", "gentlest", "soonest", "least-work", "cheapest", "no-medicine"]
Point = tuple[int, ...]  # one value of each axis of a way


class Wishes(msgspec.Struct, frozen=True, kw_only=True):
    """What the keeper said: what may be treated how, when somebody is there, what must not be hurt."""

    hours: Hours | None = None
    medicine: bool = True
    on_shelf: bool = False  # only what is on the shelf now
    spare: tuple[str, ...] = ()  # stock, kinds or groups that nothing may hurt
    place: Literal["", "tank", "tub"] = ""
    tub_l: float | None = None
    start: datetime | None = None
    over_by: datetime | None = None
    most: Mapping[str, float] = {}  # what -> chance at most

    def most_of(self, what: str, alone: float = 0.0) -> float:
        """Chance of passing this line that is borne at most; `alone`: that with nothing done.

        Raises
        ------
        Refused
            If more than is safe was asked for.
        """
        asked = self.most.get(what, MOST)
        if what not in self.most:
            return max(MOST, min(alone, OWN_MOST))
        if not 0 <= asked <= MOST:
            raise Refused(
                Reason(
                    kind="looser-than-safe",
                    because=f"{100 * asked:g} of 100 may come to harm: that is more than a plan may risk. "
                    f"{100 * MOST:g} is the most.",
                    would_change=f"{100 * MOST:g} % or less",
                )
            )
        return asked


class Line(msgspec.Struct, frozen=True, kw_only=True):
    """A line that must not be passed, the chance that it is, and what is reached; `most` of it is borne.

    `alone`: the chance with nothing done.
    """

    what: What
    about: str  # a substance, or the series of the water
    who: str = ""
    line: float
    unit: str
    chance: float
    low: float
    high: float
    most: float = MOST
    alone: float = 0.0
    reaches: Estimate | None = None  # highest level, of oxygen and pH the lowest
    source: str = "none"

    @property
    def holds(self) -> bool:
        return self.chance <= self.most


class Score(msgspec.Struct, frozen=True, kw_only=True):
    """What a course is worth.

    `clear`: chance that it is gone by the plan's day; of what is never gone, which share less of it sits on
    the fish until then than if nothing were done; None: nobody can say. `harm`: chance that any line is
    passed. `minutes`: of the keeper's time. `cost`: in what the packets were paid in; None: not known.
    """

    goal: Goal
    clear: Estimate | None
    lines: tuple[Line, ...]
    harm: float
    days: float
    minutes: tuple[float, float]
    cost: float | None
    draws: int
    harm_alone: float = 0.0  # the chance that a line is passed with nothing done

    @property
    def sound(self) -> bool:
        """Whether every line holds."""
        return all(line.holds for line in self.lines)


class Loss(msgspec.Struct, frozen=True, kw_only=True):
    """A simplification, and what it would lose: chance to clear, chance of harm; minutes it would save."""

    kind: str  # fewer-doses, no-siphon, fewer-changes, usual-food, no-night
    clear: float | None
    harm: float
    minutes: float
    sound: bool


class Planned(msgspec.Struct, frozen=True, kw_only=True):
    """One course of a plan: what it is best at, and what it gives up for that."""

    best: tuple[Best, ...]
    option: Option
    course: Course
    score: Score
    shape: str = ""  # as a line of text, where it has one
    level: float | None = None
    units: float | None = None
    days: float | None = None  # of a food, or of a remedy without medicine
    every_h: float | None = None  # between two moves
    losses: tuple[Loss, ...] = ()
    then: tuple[Planned, ...] = ()  # what follows it, for a further cause


class Packet(msgspec.Struct, frozen=True, kw_only=True):
    """As the packet says, judged in the same way; `refused`: why it is no course."""

    supply: str
    planned: Planned | None
    refused: tuple[Reason, ...] = ()


class Searched(msgspec.Struct, frozen=True, kw_only=True):
    """How far was looked."""

    drafted: int = 0
    screened: int = 0
    simulated: int = 0
    refined: int = 0


class Plan(msgspec.Struct, frozen=True, kw_only=True):
    """The few courses that are each the best of their kind, or why there is none."""

    tank: str
    causes: tuple[str, ...]
    now: datetime
    by: datetime  # the day by which the goal counts
    wishes: Wishes
    courses: tuple[Planned, ...]
    packets: tuple[Packet, ...] = ()
    ruled_out: tuple[RuledOut, ...] = ()
    nothing: tuple[Reason, ...] = ()  # why nothing was found, the nearest to a course first
    left_alone: Score | None = None  # the same by doing nothing
    searched: Searched = Searched()
