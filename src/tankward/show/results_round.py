"""The result of `tankward round`: today's jobs over all tanks."""

from __future__ import annotations

import msgspec

from .results import Result


class HeadsRow(msgspec.Struct, frozen=True, kw_only=True):
    """A group as it was last told: how many, since when."""

    stock: str
    name: str
    value: float
    low: float
    high: float
    since: str
    countable: bool


class LookRow(msgspec.Struct, frozen=True, kw_only=True):
    """A tank still to be looked at, in safe order."""

    tank: str
    name: str
    state: str
    says: str
    care: str
    heads: list[HeadsRow]


class StepRow(msgspec.Struct, frozen=True, kw_only=True):
    """A step of a running course. `do_now` says how late it is and what to do; "" where it isn't late."""

    id: str
    tank: str
    at: str
    state: str
    says: str
    how: str
    why: str
    hazard: str
    late_h: float
    do_now: str


class DueRow(msgspec.Struct, frozen=True, kw_only=True):
    """Something else that is due: missing, body, back, close, watch, short, packet-over, packet-soon,
    quarantine.
    """

    kind: str
    tank: str
    says: str
    then: str


class DoneRow(msgspec.Struct, frozen=True, kw_only=True):
    """A tank that was looked at today; `entry` can be undone."""

    tank: str
    name: str
    at: str
    well: bool
    says: str
    entry: str


class RoundResult(Result, frozen=True, kw_only=True):
    """Today's jobs."""

    looks: list[LookRow]
    steps: list[StepRow]
    due: list[DueRow]
    done: list[DoneRow]
