"""What every sentence about a step draws on: the course, its numbers, the packet's own name."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.plain import plain
from tankward.quantities.digits import shown_range
from tankward.room.things import Kit, Supply
from tankward.treat.course.records import Course, CourseStep, Valued

from .status import status_words


class Context(msgspec.Struct, frozen=True, kw_only=True):
    """What every sentence may need."""

    course: Course
    facts: Facts
    kit: Kit = Kit()
    shelf: Mapping[str, Supply] = {}

    @property
    def of(self) -> str:
        """What is measured out: the packet's own name for what is weighed, else the substance."""
        supply = self.shelf.get(self.course.supply)
        return supply.name if supply is not None else self.name

    @property
    def name(self) -> str:
        return self.facts.substances[self.course.substance].names[0]


class StepSaid(msgspec.Struct, frozen=True, kw_only=True):
    """One step in words. `amount` is short, in the keeper's own measure."""

    head: str
    amount: str = ""
    how: str = ""
    why: str = ""
    hazard: str = ""


def valued(step: CourseStep, name: str) -> Valued | None:
    found = step.how.values.get(name)
    return found if isinstance(found, Valued) else None


def text(step: CourseStep, name: str) -> str:
    found = step.how.values.get(name, "")
    return found if isinstance(found, str) else ""


def published_words(c: Context) -> str:
    """The course that it follows, and how that is known."""
    row = c.course.regimen
    if row is None or row.low is None:
        return _parts_published(c)
    high = row.low if row.high is None else row.high
    source = f", {row.source}" if row.source != "none" else ""
    told = f"The course that it follows: {shown_range(row.low, high, row.unit)} of {c.name}"
    return f"{told} ({status_words(row.status)}{source}).{counted_as(c)}"


def counted_as(c: Context) -> str:
    """As which salt, hydrate or solution a level in the water is counted, where its name does not say."""
    one = c.facts.substances[c.course.substance]
    named = plain(one.dose_as) not in {plain(n) for n in one.names}
    return (
        f" It is counted {_as(one.dose_as)}."
        if one.dose_as and named and c.course.route in WATER_ROUTES
        else ""
    )


WATER_ROUTES = ("water_long", "water_bath", "dip")


def _as(words: str) -> str:
    return words if words.startswith("as ") else f"as {words}"


def _parts_published(c: Context) -> str:
    """Of a packet of several: what is published of each of its actives."""
    told = []
    for active in c.course.doses[0].actives if c.course.doses else ():
        span, name = active.published, c.facts.substances[active.substance].names[0]
        if span is None:
            told.append(f"nothing is published of {name}")
        else:
            told.append(f"{name} {span.shown} ({status_words(span.status)})")
    return f"What is published: {'; '.join(told)}." if told else ""
