"""What a command answers, as one object: JSON, schema and the text on the terminal come from one record."""

from __future__ import annotations

import msgspec

from tankward.quantities.working import Answer, Named, Step


class Source(msgspec.Struct, frozen=True, kw_only=True):
    """A source as it is named under an answer."""

    key: str
    title: str = ""
    where: str = ""
    status: str = ""


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """The keys that every answer has."""

    says: str = ""
    how: list[Step] = []
    assumes: list[str] = []
    cautions: list[str] = []
    sources: list[Source] = []
    now: str = ""
    refused: bool = False

    @property
    def failed(self) -> bool:
        """The question was answered, and the answer is that something is broken."""
        return False


class NumberResult(Result, frozen=True, kw_only=True):
    """One number, with its range and what goes with it."""

    value: float | None
    unit: str
    low: float | None
    high: float | None
    shown: str
    also: list[Named] = []


class RefusedBecause(msgspec.Struct, frozen=True, kw_only=True):
    """One reason of a refusal."""

    kind: str
    because: str
    would_change: str = ""
    who: list[str] = []
    source: str = "none"
    status: str = ""


class Refusal(Result, frozen=True, kw_only=True):
    """Do not do this, and what would make it safe."""

    reasons: list[RefusedBecause] = []


class InputRow(msgspec.Struct, frozen=True, kw_only=True):
    """One input of a calculation."""

    name: str
    says: str
    unit: str
    example: str
    optional: bool


class CalculationRow(msgspec.Struct, frozen=True, kw_only=True):
    """A calculation as it is listed."""

    name: str
    purpose: str
    group: str
    unit: str
    formula: str
    source: str
    inputs: list[InputRow]


class CalculationList(Result, frozen=True, kw_only=True):
    """All calculations."""

    calculations: list[CalculationRow]


def number_result(answer: Answer, sources: list[Source], now: str) -> NumberResult:
    """An Answer as it goes out."""
    return NumberResult(
        value=answer.value,
        unit=answer.unit,
        low=answer.low,
        high=answer.high,
        shown=answer.shown,
        also=list(answer.also),
        says=answer.says or f"{answer.shown}.",
        how=list(answer.how),
        assumes=list(answer.assumes),
        cautions=list(answer.cautions),
        sources=sources,
        now=now,
    )
