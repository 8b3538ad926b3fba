"""Keeping: hygiene, measuring, people, food, and what must not meet."""

from __future__ import annotations

from typing import Literal

import msgspec

from tankward.knowledge.records.base import Figure, Record, Row, Statement
from tankward.knowledge.records.substance import Severity


class MustNotMeet(Row, frozen=True, kw_only=True):
    """Two substances or states of the water, the rule, the order, the wait."""

    a: str
    b: str
    rule: Literal["never", "separate", "order", "caution"]
    severity: Severity
    why: str
    order: str = ""
    wait_h: float | None = None


class Practice(Row, frozen=True, kw_only=True):
    """A rule of the trade for a course."""

    phase: str
    text: str


class Rule(Figure, frozen=True, kw_only=True):
    """A rule of keeping; most are a sentence, some a figure."""

    id: str
    statement: str = ""
    what: str = ""
    quantity: str = ""


class Disinfection(Row, frozen=True, kw_only=True):
    """How a thing is made clean of a germ."""

    id: str
    with_: str = msgspec.field(name="with")
    target: str
    item: str
    result: str
    substance: str = ""
    strength: float | None = None
    strength_words: str = ""
    unit: str = ""
    basis: str = ""
    minutes: float | None = None
    neutralise: str = ""


class Spoon(Row, frozen=True, kw_only=True):
    """What a spoon holds."""

    id: str
    ml: float


class Powder(Row, frozen=True, kw_only=True):
    """How dense a powder lies, and what a level spoon of it weighs."""

    id: str
    name: str
    substances: tuple[str, ...]
    bulk_low_g_ml: float
    bulk_high_g_ml: float
    grams_per_us_tsp_low: float
    grams_per_us_tsp_high: float


class Drops(Row, frozen=True, kw_only=True):
    """Drops to the millilitre."""

    id: str
    low: float
    high: float


class Scale(Row, frozen=True, kw_only=True):
    """The least mass a scale can be trusted with."""

    id: str
    what: str
    least_g: float
    rule: str


class Syringe(Row, frozen=True, kw_only=True):
    """What a syringe can show."""

    id: str
    what: str


class UnitDefinition(Row, frozen=True, kw_only=True):
    """A unit of the kitchen or the trade."""

    id: str
    name: str
    value: float
    unit: str


class PeopleRow(Row, frozen=True, kw_only=True):
    """What a substance does to people, and what protects them."""

    id: str
    with_: str = msgspec.field(name="with")
    substances: tuple[str, ...]
    hazard: str
    protect: str


class Magnification(Row, frozen=True, kw_only=True):
    """What is seen at a magnification."""

    total: str
    seen: str


class View(Figure, frozen=True, kw_only=True):
    """What a germ looks like under the microscope: low and high are its long side, of one alone.

    `cause` and `organism` are ids; "" where there is no file of it. `samples`: where it is looked for.
    """

    id: str
    name: str
    seen: str
    moves: str
    best: Literal["40x", "100x", "400x"]
    samples: tuple[str, ...]
    cause: str = ""
    organism: str = ""
    broad_low: float | None = None
    broad_high: float | None = None
    taken_for: tuple[str, ...] = ()  # ids of what is mistaken for it


class LookAlike(Figure, frozen=True, kw_only=True):
    """What is mistaken for a germ, and how it is told from one."""

    id: str
    name: str
    seen: str
    told_by: str


class FieldGrade(Figure, frozen=True, kw_only=True):
    """How many in one low-power field are called how; `low` counts, `high` no more, but for the last."""

    id: Literal["slight", "moderate", "marked", "extreme"]


class NecropsyStep(Row, frozen=True, kw_only=True):
    """A step of opening a dead fish."""

    step: int
    statement: str


class Hygiene(Record, frozen=True, kw_only=True):
    """Every rule of keeping, of all files of the folder together."""

    quarantine: tuple[Rule, ...] = ()
    quarantine_release: tuple[Rule, ...] = ()
    quarantine_fact: tuple[Rule, ...] = ()
    quarantine_look: tuple[Rule, ...] = ()
    contact: tuple[Rule, ...] = ()
    spread_level: tuple[Rule, ...] = ()
    closing: tuple[Rule, ...] = ()
    disinfection: tuple[Disinfection, ...] = ()
    disinfection_rule: tuple[Rule, ...] = ()
    acclimation: tuple[Rule, ...] = ()
    change_limit: tuple[Rule, ...] = ()
    stocking: tuple[Rule, ...] = ()
    light: tuple[Rule, ...] = ()
    heat: tuple[Rule, ...] = ()
    air_flow: tuple[Rule, ...] = ()
    carbon: tuple[Rule, ...] = ()
    uv: tuple[Rule, ...] = ()
    spoon: tuple[Spoon, ...] = ()
    powder: tuple[Powder, ...] = ()
    powder_rule: tuple[Rule, ...] = ()
    drops_per_ml: tuple[Drops, ...] = ()
    drops_rule: tuple[Rule, ...] = ()
    scale: tuple[Scale, ...] = ()
    syringe: tuple[Syringe, ...] = ()
    unit: tuple[UnitDefinition, ...] = ()
    human_safety: tuple[PeopleRow, ...] = ()
    euthanasia: tuple[Rule, ...] = ()
    disposal: tuple[Rule, ...] = ()
    microscopy: tuple[Rule, ...] = ()
    magnification: tuple[Magnification, ...] = ()
    view: tuple[View, ...] = ()
    look_alike: tuple[LookAlike, ...] = ()
    field_grade: tuple[FieldGrade, ...] = ()
    necropsy: tuple[NecropsyStep, ...] = ()
    lab_sample: tuple[Rule, ...] = ()
    gap: tuple[Statement, ...] = ()
    contradiction: tuple[Statement, ...] = ()
