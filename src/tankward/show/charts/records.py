"""What a chart shows, already said and rounded; hours are counted from its start."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime

import msgspec
import numpy as np
from numpy.typing import NDArray

Curve = NDArray[np.float64]


class Reading(msgspec.Struct, frozen=True, kw_only=True):
    """What was measured, with the error of the kit."""

    hour: float
    value: float
    low: float | None = None
    high: float | None = None


class Limit(msgspec.Struct, frozen=True, kw_only=True):
    """A level not to be passed; no level where nobody has measured one."""

    level: float | None
    words: str  # "keep under 7", "refused over 15"
    kind: str = "caution"  # or danger
    over: bool = True  # harm lies above; False: below


class Works(msgspec.Struct, frozen=True, kw_only=True):
    """The levels that work."""

    low: float
    high: float
    words: str  # "works: 4 to 6"
    note: str = ""  # "in glass, read"


class Act(msgspec.Struct, frozen=True, kw_only=True):
    """What was done or is planned, in its own lane."""

    hour: float
    words: str
    done: bool
    short: str = ""  # for narrow paper


class CountRow(msgspec.Struct, frozen=True, kw_only=True):
    """A number under each day, day 0 being the day of the start."""

    name: str
    counts: Mapping[int, int]
    dead: bool = False


class Strip(msgspec.Struct, frozen=True, kw_only=True):
    """One quantity over the chart's hours: the middle course, half of all courses, nine in ten."""

    name: str
    unit: str
    mid: Curve
    low: Curve | None = None
    q25: Curve | None = None
    q75: Curve | None = None
    high: Curve | None = None
    kind: str = "computed"  # second line of the head, before the unit
    value: str = ""  # the last value, as it is said
    value_range: str = ""
    value_at: str = "now"  # or highest, lowest: what value and range are of
    readings: tuple[Reading, ...] = ()
    dots: str = "read"  # or counted, looked: what the readings are
    limits: tuple[Limit, ...] = ()
    works: Works | None = None
    lead: bool = False  # the quantity in question
    said: Callable[[float], str] | None = None  # how its values are printed; None: by their unit
    floor: float | None = 0.0  # None: the scale begins where the values do
    least: float | None = None  # the scale reaches from here
    most: float | None = None  # to here at least, where several charts have one scale


class Chart(msgspec.Struct, frozen=True, kw_only=True):
    """Strips over one time axis. At a jump an hour stands twice, before and after."""

    says: str  # the finding; the chart's name for ears
    start: datetime  # with its zone; its calendar names the days
    now_h: float
    hours: Curve
    strips: tuple[Strip, ...]
    acts: tuple[Act, ...] = ()
    counts: tuple[CountRow, ...] = ()
    counts_of: str = ""  # "Seen, of ten fish"
    quiet: str = ""  # what has no strip, in one line
    old: bool = False  # an answer from before: its forecast is dotted
