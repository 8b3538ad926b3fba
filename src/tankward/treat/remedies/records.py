"""An option that is open, one that is ruled out, and what each reaches."""

from __future__ import annotations

import msgspec

from tankward.judge.verdicts import Verdict
from tankward.knowledge.records.substance import Regimen
from tankward.quantities.faults import Reason
from tankward.treat.policy import Permission


class Reached(msgspec.Struct, frozen=True, kw_only=True):
    """One stage of an organism and whether the remedy kills it there."""

    organism: str
    stage: str
    place: str
    share: tuple[float, float] | None = None  # dead after `hours` at `level`; None: nothing is known
    level: float | None = None
    unit: str = ""
    hours: float | None = None
    source: str = "none"
    status: str = ""


class Option(msgspec.Struct, frozen=True, kw_only=True):
    """A remedy that is open here."""

    id: str  # "praziquantel/fluke_2x" or "fish_out"
    kind: str  # substance, or the kind of a remedy without medicine
    cause: str
    substance: str = ""
    route: str = ""
    regimen: Regimen | None = None
    permission: Permission | None = None
    reaches: tuple[Reached, ...] = ()
    not_reached: tuple[Reached, ...] = ()
    also_for: tuple[str, ...] = ()  # other causes asked about that the same regimen treats
    leaves: tuple[str, ...] = ()  # likely causes that stay untouched
    bears: tuple[Verdict, ...] = ()
    cautions: tuple[Reason, ...] = ()
    jar_trial: bool = False
    days: tuple[float, float] | None = None
    minutes: float | None = None  # of the keeper's time, where it is known
    says: str = ""  # of a remedy without medicine: what is done, from its fact
    source: str = "none"
    status: str = "common-practice"


class RuledOut(msgspec.Struct, frozen=True, kw_only=True):
    """A remedy that is closed here: it stays visible, with why and what would open it."""

    id: str
    substance: str
    route: str
    regimen: Regimen | None
    reasons: tuple[Reason, ...]

    @property
    def because(self) -> str:
        return " ".join(r.because for r in self.reasons)

    @property
    def would_change(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(r.would_change for r in self.reasons if r.would_change))

    @property
    def who(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(name for r in self.reasons for name in r.who))


class Options(msgspec.Struct, frozen=True, kw_only=True):
    """All that can be done, open ones first, in the order of `order.py`."""

    causes: tuple[str, ...]
    open: tuple[Option, ...]
    ruled_out: tuple[RuledOut, ...]
