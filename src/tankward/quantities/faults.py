"""The two ways in which the program says no: the input can't be read, or the act would do harm."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec


class BadInput(ValueError):
    """What was typed can't be used. One sentence: the field, the value, what is accepted."""

    def __init__(self, field: str, given: object, accepted: str) -> None:
        self.field = field
        self.given = "" if given is None else str(given)
        self.accepted = accepted
        super().__init__(str(self))

    def __str__(self) -> str:
        given = self.given if len(self.given) <= 60 else self.given[:57] + "..."
        if not given and self.accepted.startswith("is missing"):
            return f"{self.field}: {self.accepted}"  # what isn't there is not shown as a pair of quotes
        return f'{self.field}: "{given}" {self.accepted}'


class OutOfRange(BadInput):
    """A number outside the range in which the cited formula holds."""


class Reason(msgspec.Struct, frozen=True, kw_only=True):
    """Why something is refused and what would make it safe."""

    kind: str
    because: str
    would_change: str = ""
    who: tuple[str, ...] = ()
    source: str = "none"
    status: str = "common-practice"


class Refused(Exception):
    """Do not do this: it would harm an animal or a person."""

    def __init__(self, *reasons: Reason) -> None:
        self.reasons = reasons
        super().__init__("; ".join(r.because for r in reasons))


class BadInputs(BadInput):
    """Several things that were typed can't be used; each has its own sentence."""

    def __init__(self, faults: Sequence[BadInput]) -> None:
        self.faults = tuple(faults)
        first = self.faults[0]
        super().__init__(first.field, first.given, first.accepted)

    def __str__(self) -> str:
        return "\n".join(str(fault) for fault in self.faults)


def gathered(faults: Sequence[BadInput]) -> None:
    """Say all faults at once; with none, nothing happens.

    Raises
    ------
    BadInput
        One or several.
    """
    if faults:
        raise faults[0] if len(faults) == 1 else BadInputs(faults)
