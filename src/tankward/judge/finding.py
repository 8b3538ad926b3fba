"""One thing found in the water or the room."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

import msgspec

from tankward.knowledge.records.base import Status

Severity = Literal["danger", "caution", "unknown", "fine"]
WORST: tuple[Severity, ...] = ("danger", "caution", "unknown", "fine")


class Finding(msgspec.Struct, frozen=True, kw_only=True):
    """What was found, how bad it is, and whether it stands before any medicine."""

    kind: str
    severity: Severity
    value: float | None = None
    low: float | None = None
    high: float | None = None
    unit: str = ""
    limit: float | None = None
    age_h: float | None = None
    who: tuple[str, ...] = ()
    because: str = ""
    ask: str = ""
    cause: str = ""  # the cause of the list that this would be
    blocks_medicine: bool = False
    until: str = ""
    until_h: float | None = None
    tank: str = ""
    source: str = "none"
    status: Status = "memory"


def worst_first(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Danger, caution, unknown, fine; what stands before medicine first among equals."""
    return tuple(sorted(found, key=lambda f: (WORST.index(f.severity), not f.blocks_medicine, f.kind)))
