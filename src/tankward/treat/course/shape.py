"""How a course is given, hour by hour from its start, where it is not simply as its regimen says.

A planner finds one, a keeper edits one by hand, and a link carries one as a line of text:

    dose 0h 1, 72h 0.95; change 0h 50%, 72h 50%, 216h 50%; siphon 0h, 216h; feed 50%; end 216h
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from typing import Literal

import msgspec

from tankward.quantities.faults import BadInput

from .exposure import NO_CLIMB

MOST_DOSES, MOST_CHANGES = 24, 60  # of one shape; more is a slip of the pen [our own choice]
LONGEST_H = 24.0 * 60
PUT_BACK = 0.25  # so much of a full dose above what changes took is still putting back [our own choice]

RAISED_H = 48.0  # a step up comes this soon after the one before; later it is another dose [our own choice]

Meant = Literal["round", "raised", "back"]


class Given(msgspec.Struct, frozen=True, order=True):
    """A dose: when, and how much of a full one."""

    at_h: float
    factor: float = 1.0


class Changed(msgspec.Struct, frozen=True, order=True):
    """A water change: when, and the share of the water."""

    at_h: float
    share: float


class Shape(msgspec.Struct, frozen=True, kw_only=True):
    """A course without its substance: doses, changes, siphoning, feeding, warmth, and when it ends.

    How strong a full dose is stands beside it (level or packets). `feed`: share of the usual food while it
    runs. `warm_c`: the water is brought there and back; None: as it is.
    """

    doses: tuple[Given, ...] = ()
    changes: tuple[Changed, ...] = ()
    siphons: tuple[float, ...] = ()
    feed: float = 1.0
    warm_c: float | None = None
    end_h: float

    @property
    def rounds(self) -> int:
        """How often it is given (safety rule 12)."""
        return self.meant.count("round")

    @property
    def meant(self) -> tuple[Meant, ...]:
        """What each dose is."""
        before = [0.0, *(d.at_h for d in self.doses)]
        return meant(
            (d.at_h, math.prod(1.0 - c.share for c in self.changes if last < c.at_h <= d.at_h), d.factor)
            for last, d in zip(before, self.doses, strict=False)
        )

    @property
    def text(self) -> str:
        """As one line, read back by `shape_of`."""
        parts = [_list("dose", (f"{_h(d.at_h)} {_n(d.factor)}" for d in self.doses))]
        parts.append(_list("change", (f"{_h(c.at_h)} {_n(100 * c.share)}%" for c in self.changes)))
        parts.append(_list("siphon", (_h(h) for h in self.siphons)))
        parts.append("" if self.feed == 1.0 else f"feed {_n(100 * self.feed)}%")
        parts.append("" if self.warm_c is None else f"warm {_n(self.warm_c)}C")
        return "; ".join(p for p in (*parts, f"end {_h(self.end_h)}") if p)


def meant(given: Iterable[tuple[float, float, float]]) -> tuple[Meant, ...]:
    """What each dose is: "round" is one more time that it is given, as safety rule 12 counts it.

    With the dose before it counts what only brings back the share that a change took ("back"), and what only
    raises the first round further towards one full dose ("raised"), as salt is raised step by step.

    Parameters
    ----------
    given : iterable of tuple
        Each dose in order: its hour, the share of the water that stayed since the one before, and how much of
        a full dose it is.
    """
    found: list[Meant] = []
    before, stands = 0.0, 0.0  # the hour of the last dose; how much of a full one was given in this round
    for at_h, stays, factor in given:
        up = stands * stays + factor
        if not found:
            found.append("round")
        elif "round" not in found[1:] and at_h - before <= RAISED_H and stands < 1.0 and up <= NO_CLIMB:
            found.append("raised")
        else:
            found.append("back" if factor <= 1.0 - stays + PUT_BACK else "round")
        before, stands = at_h, factor if found[-1] == "round" else up
    return tuple(found)


def _n(x: float) -> str:
    return f"{x:.4f}".rstrip("0").rstrip(".")


def _h(hours: float) -> str:
    return f"{_n(hours)}h"


def _list(word: str, items: Iterable[str]) -> str:
    found = ", ".join(items)
    return f"{word} {found}" if found else ""


NUMBER = r"(\d+(?:\.\d+)?)"
DOSE = re.compile(rf"{NUMBER}\s*h(?:\s+(?:x\s*)?{NUMBER})?")
CHANGE = re.compile(rf"{NUMBER}\s*h\s+{NUMBER}\s*%")
HOUR = re.compile(rf"{NUMBER}\s*h")
SHARE = re.compile(rf"{NUMBER}\s*%")
WARM = re.compile(rf"{NUMBER}\s*C")


def shape_of(text: str) -> Shape:
    """Read a shape.

    Raises
    ------
    BadInput
        Naming the part that can't be read, or what is out of bounds.
    """
    told: dict[str, list[tuple[float, ...]]] = {}
    for part in filter(None, (p.strip() for p in text.split(";"))):
        word, _, rest = part.partition(" ")
        if word not in READ:
            raise BadInput("shape", part, f"begins with none of {', '.join(READ)}.")
        told.setdefault(word, []).extend(_numbers(part, item, READ[word]) for item in rest.split(","))
    if len(told.get("end", [])) != 1:
        raise BadInput("shape", text, "does not say once when it ends, like: end 216h.")
    return checked(
        Shape(
            doses=tuple(sorted(Given(*d) for d in told.get("dose", []))),
            changes=tuple(sorted(Changed(h, p / 100.0) for h, p in told.get("change", []))),
            siphons=tuple(sorted(h for (h,) in told.get("siphon", []))),
            feed=next((x / 100.0 for (x,) in told.get("feed", [])), 1.0),
            warm_c=next((x for (x,) in told.get("warm", [])), None),
            end_h=told["end"][0][0],
        )
    )


READ = {"dose": DOSE, "change": CHANGE, "siphon": HOUR, "feed": SHARE, "warm": WARM, "end": HOUR}


def _numbers(part: str, item: str, pattern: re.Pattern[str]) -> tuple[float, ...]:
    found = pattern.fullmatch(item.strip())
    if found is None:
        raise BadInput("shape", item.strip() or part, f"can't be read in: {part}. Write it like: {LIKE}.")
    return tuple(float(x) for x in found.groups() if x is not None)


LIKE = "dose 0h 1, 72h 0.5; change 0h 50%; end 216h"


def checked(shape: Shape) -> Shape:
    """The same shape.

    Raises
    ------
    BadInput
        If something in it lies after its end, is more than all of the water, or is far too much.
    """
    if not 0 < shape.end_h <= LONGEST_H:
        raise BadInput("shape", f"end {_h(shape.end_h)}", f"is not between 1 and {LONGEST_H:g} hours.")
    if len(shape.doses) > MOST_DOSES or len(shape.changes) > MOST_CHANGES:
        most = f"{MOST_DOSES} doses and {MOST_CHANGES} changes"
        raise BadInput("shape", f"{len(shape.doses)} doses, {len(shape.changes)} changes", f"is over {most}.")
    for dose in shape.doses:
        if not 0 < dose.factor <= 1.5 or dose.at_h >= shape.end_h:
            accepted = "is not a dose of up to 1.5 full ones before the end."
            raise BadInput("shape", f"dose {_h(dose.at_h)} {_n(dose.factor)}", accepted)
    for change in shape.changes:
        if not 0 < change.share <= 0.9 or change.at_h > shape.end_h + WASHING_H:
            accepted = "is not a change of up to 90 % by the end or in the days after."
            raise BadInput("shape", f"change {_h(change.at_h)} {_n(100 * change.share)}%", accepted)
    if not 0 <= shape.feed <= 2 or (shape.warm_c is not None and not 4 <= shape.warm_c <= 36):
        raise BadInput("shape", shape.text, "holds a ration over twice the usual, or no warmth for fish.")
    return shape


WASHING_H = 24.0 * 7  # what is washed out day by day is changed after the end of the course
