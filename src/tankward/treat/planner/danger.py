"""What stands against a course that was set by hand: each line that it would pass, as a reason that stays."""

from __future__ import annotations

from msgspec.structs import replace

from tankward.knowledge.known import Facts
from tankward.quantities.digits import plain_number, step_of
from tankward.quantities.faults import Reason
from tankward.treat.course.records import Course

from .checked import DANGER, broken
from .records import Line, Score

SEEN = 0.005  # of the tank by itself, from which it is told
LOWEST = ("oxygen", "ph")  # harm lies below the line
NAMES = {"nh3_n": "the poisonous part of ammonia", "nitrite_n": "nitrite", "oxygen": "oxygen", "ph": "pH"}
MENDS = {
    "nh3": "feed less, or change more water",
    "nitrite": "change more water, or feed less",
    "oxygen": "more air, or cooler water",
    "ph": "smaller changes, or raise the hardness first",
    "over-limit": "less at once, or a change before the dose",
}


def warned(course: Course, score: Score, facts: Facts) -> Course:
    """The course with every line that it would pass, the worst first."""
    found = tuple(danger_of(line, facts) for line in broken(score))
    return replace(course, cautions=(*found, *(r for r in course.cautions if r.kind != DANGER)))


def danger_of(line: Line, facts: Facts) -> Reason:
    """A line that does not hold."""
    return Reason(
        kind=DANGER, because=because(line, facts), would_change=MENDS[line.what],
        who=(line.who,) if line.who else (), source=line.source, status="computed",
    )  # fmt: skip


def because(line: Line, facts: Facts) -> str:
    """How far it goes, and in how many such tanks: "the poisonous part of ammonia passes …"."""
    low = line.what in LOWEST
    does = "falls under" if low else "passes"
    for_whom = f", more than {line.who} bear" if line.who else ""
    return (
        f"{name_of(line, facts)} {does} {_level(line.line, line.unit)}{for_whom} "
        f"in {_tanks(line.chance)}{_alone(line)}{_reaches(line, low)}"
    )


def _alone(line: Line) -> str:
    """What the tank would do by itself is not the doing of the course."""
    return f", in {round(100 * line.alone)} with nothing done" if line.alone >= SEEN else ""


def name_of(line: Line, facts: Facts) -> str:
    """What goes too far."""
    return NAMES.get(line.about) or facts.substances[line.about].names[0]


def _level(value: float, unit: str) -> str:
    number = plain_number(value, step_of(value, unit))
    return f"pH {number}" if unit == "pH" else f"{number} {unit}".strip()


def _tanks(chance: float) -> str:
    number = round(100 * chance)
    return f"{max(number, 1)} of 100 such tanks" if number < 100 else "nearly all such tanks"


def _reaches(line: Line, low: bool) -> str:
    """The end that one tank in twenty goes beyond."""
    if line.reaches is None:
        return ""
    end = line.reaches.low if low else line.reaches.high
    word = "or less" if low else "or more"
    return f"; in 1 of 20 it reaches {_level(end, line.unit)} {word}"
