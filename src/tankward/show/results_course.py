"""A course as it leaves: steps, chances, the label judged, who bears it. Every number with its working."""

from __future__ import annotations

import msgspec

from tankward.quantities.working import Step

from .results import Result
from .results_after import NeedRow


class CourseStepRow(msgspec.Struct, frozen=True, kw_only=True):
    """One step. `value` is what goes in or out, unrounded; `amount` is the same in the keeper's measure."""

    id: str
    at: str
    kind: str
    act: str
    amount: str
    how_to: str
    why: str
    hazard: str
    value: float | None
    low: float | None
    high: float | None
    unit: str
    how: list[Step]
    source: str
    status: str


class CourseChanceRow(msgspec.Struct, frozen=True, kw_only=True):
    """A chance of harm while the course runs, over the weighted draws; `where`: tank, tub, or both."""

    what: str
    where: str
    about: str
    who: list[str]
    says: str
    by: str
    low: float
    value: float
    high: float
    limit: float
    unit: str
    source: str
    status: str


class PutBackRow(msgspec.Struct, frozen=True, kw_only=True):
    """What to put back of one active before one repeat: lasting, likely, gone."""

    at: str
    substance: str
    changed: float
    before_low: float
    before: float
    before_high: float
    before_unit: str
    lasting: float
    likely: float
    gone: float
    unit: str
    units_lasting: float | None
    units_likely: float | None
    units_gone: float | None
    apart: bool
    source: str
    status: str


class JudgedRow(msgspec.Struct, frozen=True, kw_only=True):
    """One active of the label, followed as the label says."""

    substance: str
    low: float
    value: float
    high: float
    unit: str
    lies: str
    published_low: float | None
    published_high: float | None
    peak_lasting: float
    peak_fading: float
    tends_lasting: float | None  # None: without end
    peak_lies: str
    says: str
    source: str
    status: str


class Judged(msgspec.Struct, frozen=True, kw_only=True):
    """The label's rule against the model and the literature."""

    supply: str
    says: str
    units: float | None
    doses: int
    every_h: float | None
    changed: float
    holds_together: str
    parts: list[JudgedRow]
    refused: list[str]
    would_change: list[str]
    source: str
    status: str


class BearsRow(msgspec.Struct, frozen=True, kw_only=True):
    """One group against the highest level of the course."""

    stock: str
    who: str
    substance: str
    says: str
    words: str
    because: str
    would_change: str
    value: float
    limit: float | None
    unit: str
    source: str
    status: str


class LevelRow(msgspec.Struct, frozen=True, kw_only=True):
    """How strong the first dose makes the water, the tub or the food."""

    value: float | None
    low: float | None
    high: float | None
    unit: str
    how: list[Step]


class RoundsRow(msgspec.Struct, frozen=True, kw_only=True):
    """How often: planned, as published, as the label says, at most, given before within six months."""

    planned: int
    published: int | None
    label: int | None
    most: int
    before: int
    source: str
    status: str


class CourseResult(Result, frozen=True, kw_only=True):
    """A course, proposed or begun."""

    tank: str
    name: str
    substance: str
    remedy: str  # of one without medicine: its id; then substance and route are ""
    route: str
    regimen: str
    place: str
    start: str
    ends: str
    decide_on: str
    begun: str  # the id of the entry; "" where it is only proposed
    level: LevelRow | None
    steps: list[CourseStepRow]
    put_back: list[PutBackRow]
    chances: list[CourseChanceRow]
    withheld: list[str]
    judged: Judged | None
    bears: list[BearsRow]
    reaches: list[str]
    rounds: RoundsRow
    statement: list[str]
    supplies: list[NeedRow] = []  # what it takes of each packet, and what that costs
    over: list[str] = []  # how long it is looked for, and who stays


class CourseStopped(Result, frozen=True, kw_only=True):
    """A course was stopped."""

    tank: str
    course: str
    entry: str
