"""Results of an examination: urgent acts, the water, what it may be, the next look."""

from __future__ import annotations

import msgspec

from tankward.quantities.working import Step

from .results import Result


class ActRow(msgspec.Struct, frozen=True, kw_only=True):
    """One act of the next ten minutes."""

    act: str
    says: str
    amount: str
    why: str
    ask: str
    how: list[Step]
    source: str
    status: str
    at: str = ""  # when, where not now


class FindingRow(msgspec.Struct, frozen=True, kw_only=True):
    """One finding in the water or the tank."""

    kind: str
    severity: str
    says: str
    value: float | None
    low: float | None
    high: float | None
    unit: str
    limit: float | None
    before_medicine: bool
    source: str
    status: str


class CauseRow(msgspec.Struct, frozen=True, kw_only=True):
    """One cause with its range."""

    id: str
    name: str
    low: float
    value: float
    high: float
    word: str
    speaks_for: list[str]
    speaks_against: list[str]
    moved: str  # the same in words
    people: str  # what it may do to people, "" where nothing is known to
    source: str
    status: str


class LookRow(msgspec.Struct, frozen=True, kw_only=True):
    """A look that would tell something. `gain` is in bits."""

    id: str
    what: str
    minutes: float
    harm: str
    gain: float
    source: str
    status: str


class CausesResult(Result, frozen=True, kw_only=True):
    """What it may be."""

    urgent: list[ActRow]
    water_first: list[FindingRow]
    ranked: list[CauseRow]
    next_look: list[LookRow]
    closer: list[LookRow] = []  # with a microscope, a day later, by a laboratory
    missing: list[str]


class InWaterRow(msgspec.Struct, frozen=True, kw_only=True):
    """A medicine in the water now, and what may stay there. `safe` null: nobody knows."""

    substance: str
    value: float
    low: float
    high: float
    unit: str
    safe: float | None
    changes: int  # that bring it there
    says: str
    source: str
    status: str


class FirstRow(msgspec.Struct, frozen=True, kw_only=True):
    """How long the oxygen of a tank lasts without power, at the cautious end. null: longer than is told."""

    tank: str
    danger_h: float | None
    care_h: float | None
    says: str
    source: str = "none"
    status: str = "computed"


class WhatNowResult(Result, frozen=True, kw_only=True):
    """The next ten minutes."""

    steps: list[ActRow]
    ask: list[str]
    never: list[str]
    tank: str = ""
    in_water: list[InWaterRow] = []
    first: list[FirstRow] = []  # without power: which tank first
    written: list[str] = []  # entries that were kept
    would_write: list[str] = []  # what keeping would write down


class NowResult(Result, frozen=True, kw_only=True):
    """The state of a tank and what it means."""

    tank: str
    urgent: list[ActRow]
    findings: list[FindingRow]
