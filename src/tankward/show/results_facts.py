"""What is known of a thing, as an answer."""

from __future__ import annotations

import msgspec

from .results import Result


class FactRow(msgspec.Struct, frozen=True, kw_only=True):
    """One thing known."""

    of: str
    table: str
    says: dict[str, str]
    value: float | None
    low: float | None
    high: float | None
    unit: str
    basis: str
    source: str
    where: str
    status: str


class FactsResult(Result, frozen=True, kw_only=True):
    """What is known of a thing, and what contradicts it."""

    facts: list[FactRow]
    disagree: list[FactRow]
    listed: list[str]
