"""A tank wound down, as it leaves."""

from __future__ import annotations

import msgspec

from tankward.quantities.working import Answer

from .results import Result
from .results_after import HoldRow


class HomeRow(msgspec.Struct, frozen=True, kw_only=True):
    """A tank they may go to. `why`: exposed, free, well. `differ_c`: how much warmer; None: not known."""

    tank: str
    why: str
    differ_c: float | None
    fits: bool
    source: str
    status: str


class GoesRow(msgspec.Struct, frozen=True, kw_only=True):
    """One group: whether it is held, where it may go, until when it stays apart elsewhere."""

    stock: str
    name: str
    kind: str
    held: bool
    homes: list[HomeRow]
    apart_days: float
    apart_until: str
    worms_days: float | None
    worms_until: str
    says: str
    source: str
    status: str


class ClosingStep(msgspec.Struct, frozen=True, kw_only=True):
    """One step. `part`: animals, water, things, glass."""

    part: str
    says: str
    how_to: str
    hazard: str
    sure: str


class DryRow(msgspec.Struct, frozen=True, kw_only=True):
    """One organism that may be in it, on dry things and in water without a host."""

    organism: str
    dry_low_h: float
    dry_high_h: float
    off_host_low_days: float | None
    off_host_high_days: float | None
    says: str
    source: str
    status: str


class WindDownResult(Result, frozen=True, kw_only=True):
    """Closing a tank. `can_close`: nobody is written down in it. `entry`: what was written now; may be ""."""

    tank: str
    causes: list[str]
    holds: list[HoldRow]
    animals: list[GoesRow]
    steps: list[ClosingStep]
    bleach: Answer | None
    dry: list[DryRow]
    never: list[str]
    can_close: bool
    closed: bool
    entry: str
