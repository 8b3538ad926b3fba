"""How a course ended and what follows, and past cases, as they leave."""

from __future__ import annotations

import msgspec

from .results import Result


class LookRow(msgspec.Struct, frozen=True, kw_only=True):
    """One look of a watch. `done`: the entry that was it; "" while it is open."""

    tank: str
    on: str
    says: str
    why: str
    done: str


class NeedRow(msgspec.Struct, frozen=True, kw_only=True):
    """What is taken or was given of one packet. `cost` in what it was paid in; None: not known."""

    supply: str
    name: str
    unit: str
    units: float
    left: float | None
    cost: float | None
    says: str = ""
    source: str = "none"
    status: str = "computed"


class HoldRow(msgspec.Struct, frozen=True, kw_only=True):
    """Why nothing leaves a tank, and until when. `until` "": no day can be named."""

    tank: str
    why: str
    causes: list[str]
    until: str
    whole_room: bool
    says: str


class CourseClosedResult(Result, frozen=True, kw_only=True):
    """A course was closed: its outcome, the looks that follow, who stays, what was given."""

    tank: str
    course: str
    outcome: str
    entry: str
    looks: list[LookRow]
    holds: list[HoldRow]
    given: list[NeedRow]


class CaseResult(msgspec.Struct, frozen=True, kw_only=True):
    """One case that is over. `cost`: of all that was priced; None: nothing was."""

    tank: str
    course: str
    name: str
    substance: str
    begun: str
    ended: str
    signs: list[str]
    cause: str
    outcome: str
    days: int
    dead: int
    given: list[NeedRow]
    cost: float | None
    note: str
    says: str
    source: str = "none"
    status: str = "computed"


class CasesResult(Result, frozen=True, kw_only=True):
    """The cases of a tank or the room, the newest first."""

    tank: str
    cases: list[CaseResult]
