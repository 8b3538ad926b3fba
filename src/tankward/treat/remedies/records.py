"""An option that is open, one that is ruled out, and what each reaches."""

from __future__ import annotations

from typing import Literal

import msgspec

from tankward.judge.verdicts import Verdict
from tankward.judge.vet import Vet
from tankward.knowledge.records.keeping import PeopleRow
from tankward.knowledge.records.substance import Effect, Regimen
from tankward.quantities.faults import Reason
from tankward.treat.policy import Permission

Kind = Literal["substance", "without_medicine", "vet"]
Place = Literal["tank", "tub", "food", "fish", ""]


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


class Left(msgspec.Struct, frozen=True, kw_only=True):
    """A likely cause that a remedy leaves untouched, with its chance."""

    cause: str
    low: float
    value: float
    high: float


class Level(msgspec.Struct, frozen=True, kw_only=True):
    """How strong a regimen is, as it was published."""

    low: float
    high: float
    unit: str
    basis: str = ""
    source: str = "none"
    status: str = "memory"


class Evidence(msgspec.Struct, frozen=True, kw_only=True):
    """What a remedy rests on."""

    kind: Literal["published", "trade-habit", "computed", "recalled"]
    source: str = "none"
    status: str = "memory"
    where: str = ""


class Number(msgspec.Struct, frozen=True, kw_only=True):
    """A figure of a remedy without medicine, with where it comes from."""

    id: str
    low: float
    high: float
    unit: str
    source: str = "none"
    status: str = "memory"
    note: str = ""


class OnShelf(msgspec.Struct, frozen=True, kw_only=True):
    """A packet of the shelf that is just this, with what one dose of the tank takes of it."""

    supply: str
    name: str
    unit: str
    units: tuple[float, float] | None = None  # for one dose; None: not known
    cost: tuple[float, float] | None = None  # of one dose, in what the packet was paid in; None: not known
    left: float | None = None
    enough: bool | None = None


class Turn(msgspec.Struct, frozen=True, kw_only=True):
    """One of several causes, or some of them, and the remedy whose turn it is."""

    causes: tuple[str, ...]
    option: str  # id; "": nothing that is open clears it
    wait: Literal["", "course-over", "changed-out"] = ""  # what has to be over before: one medicine at a time


class Carried(msgspec.Struct, frozen=True, kw_only=True):
    """How long survivors may carry a cause after the last sign; None: for life, or not known. [d]"""

    cause: str
    days: float | None


class Option(msgspec.Struct, frozen=True, kw_only=True):
    """A remedy that is open here."""

    id: str  # "praziquantel/fluke_2x", "malachite_green/long/tub", "fish_out"
    kind: Kind
    cause: str
    remedy: str = ""  # of a remedy without medicine: its id
    substance: str = ""
    route: str = ""
    place: Place = ""
    regimen: Regimen | None = None
    level: Level | None = None
    permission: Permission | None = None
    reaches: tuple[Reached, ...] = ()
    not_reached: tuple[Reached, ...] = ()
    also_for: tuple[str, ...] = ()  # other causes asked about that the same remedy is for
    leaves: tuple[Left, ...] = ()  # likely causes that stay untouched
    bears: tuple[Verdict, ...] = ()
    left_out: tuple[str, ...] = ()  # stock that does not go into the tub
    cautions: tuple[Reason, ...] = ()
    evidence: Evidence = Evidence(kind="recalled")
    jar_trial: bool = False
    adjunct: bool = False  # beside a treatment, never instead of it
    first: bool = False  # what was found says: this, and nothing else yet
    relieves: bool = False  # eases it and does not clear it
    days: tuple[float, float] | None = None
    minutes: Number | None = None  # of the keeper's time each day, where it is known
    says: tuple[str, ...] = ()  # of a remedy without medicine: what is done, from its fact
    figures: tuple[Number, ...] = ()
    people: tuple[PeopleRow, ...] = ()
    effects: tuple[Effect, ...] = ()  # on filter, plants, oxygen
    hazard: str = ""  # to people, as its own file says
    disposal: str = ""
    work: Number | None = None  # of the keeper's time in all
    shelf: OnShelf | None = None
    vet: Vet | None = None

    @property
    def use(self) -> str:
        """Whose remedy it is; what needs no medicine is the keeper's."""
        return self.permission.use if self.permission else "vet" if self.kind == "vet" else "keeper"


class RuledOut(msgspec.Struct, frozen=True, kw_only=True):
    """A remedy that is closed here: it stays visible, with why and what would open it."""

    id: str
    kind: Kind = "substance"
    remedy: str = ""
    substance: str = ""
    route: str = ""
    regimen: Regimen | None = None
    permission: Permission | None = None
    bears: tuple[Verdict, ...] = ()
    reasons: tuple[Reason, ...]

    @property
    def because(self) -> str:
        return " ".join(dict.fromkeys(_sentence(r.because) for r in self.reasons))

    @property
    def would_change(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(r.would_change for r in self.reasons if r.would_change))

    @property
    def who(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(name for r in self.reasons for name in r.who))


def _sentence(text: str) -> str:
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")


class Options(msgspec.Struct, frozen=True, kw_only=True):
    """All that can be done, open ones first, in the order of `order.py`."""

    causes: tuple[str, ...]
    open: tuple[Option, ...]
    ruled_out: tuple[RuledOut, ...]
    carried: tuple[Carried, ...] = ()
    turns: tuple[Turn, ...] = ()  # of several causes: which is met first, and with what
