"""The working of a number: each step is written down as it is computed, so no page can tell another story."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import msgspec

from .digits import shown, shown_range


class Step(msgspec.Struct, frozen=True, kw_only=True):
    """One line of the working."""

    step: str
    formula: str = ""
    inputs: dict[str, float | str] = {}
    value: float | None
    unit: str = ""
    source: str = "none"  # a key of the sources, never a text
    status: str = "computed"


class Working:
    """Steps in the order in which they were computed, and what was taken for granted."""

    def __init__(self, assumes: str = "") -> None:
        self.assumes = [assumes] if assumes else []
        self.steps: list[Step] = []
        self.cautions: list[str] = []

    def step(
        self,
        name: str,
        formula: str,
        value: float,
        unit: str = "",
        *,
        inputs: Mapping[str, float | str] | None = None,
        source: str = "none",
        status: str = "computed",
    ) -> float:
        """Write a step down and hand its value on."""
        row = Step(
            step=name,
            formula=formula,
            inputs=dict(inputs or {}),
            value=float(value),
            unit=unit,
            source=source,
            status=status,
        )
        self.steps.append(row)
        return float(value)

    def assume(self, text: str) -> None:
        self.assumes.append(text)

    def caution(self, text: str) -> None:
        if text not in self.cautions:
            self.cautions.append(text)


class Named(msgspec.Struct, frozen=True, kw_only=True):
    """A second number beside the answer."""

    name: str
    value: float | None
    unit: str = ""
    low: float | None = None
    high: float | None = None
    shown: str = ""

    @classmethod
    def of(
        cls,
        name: str,
        value: float,
        unit: str = "",
        low: float | None = None,
        high: float | None = None,
    ) -> Named:
        return cls(
            name=name,
            value=value,
            unit=unit,
            low=value if low is None else low,
            high=value if high is None else high,
            shown=shown(value, unit),
        )


class Answer(msgspec.Struct, frozen=True, kw_only=True):
    """A number with its unit, its range, its working and what to be careful about."""

    value: float | None
    unit: str = ""
    low: float | None = None
    high: float | None = None
    shown: str = ""
    also: tuple[Named, ...] = ()
    says: str = ""
    how: tuple[Step, ...] = ()
    assumes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def shown_range(self) -> str:
        if self.low is None or self.high is None:
            return self.shown
        return shown_range(self.low, self.high, self.unit)

    def source_keys(self) -> list[str]:
        """The sources that the steps rest on, each once, in order."""
        keys = [key for step in self.how for key in step.source.split() if key != "none"]
        return list(dict.fromkeys(keys))


def answer(
    value: float,
    unit: str,
    work: Working,
    *,
    low: float | None = None,
    high: float | None = None,
    also: tuple[Named, ...] = (),
    step: float = 0.0,
    says: str = "",
    **fill: Any,
) -> Answer:
    """An Answer from its working. `says` may hold {shown}, {range} and any name given in `fill`."""
    value = float(value)
    low, high = (
        (value if low is None else float(low)),
        (value if high is None else float(high)),
    )
    text = shown(value, unit, step)
    sentence = says.format(shown=text, range=shown_range(low, high, unit), **fill) if says else ""
    return Answer(
        value=value,
        unit=unit,
        low=low,
        high=high,
        shown=text,
        also=also,
        says=sentence,
        how=tuple(work.steps),
        assumes=tuple(work.assumes),
        cautions=tuple(work.cautions),
    )
