"""Who may have been reached by what is in a tank, as it leaves."""

from __future__ import annotations

import msgspec

from .results import Result
from .results_after import HoldRow, LookRow


class LinkRow(msgspec.Struct, frozen=True, kw_only=True):
    """One link of a chain. `way`: fish, water, net, siphon, plants, snails, hands."""

    source: str
    to: str
    at: str
    way: str
    what: str
    says: str


class ChanceRow(msgspec.Struct, frozen=True, kw_only=True):
    """How likely this carried a cause on, if it was there; "" where none is known.

    `known`: the facts speak of each organism and way.
    """

    cause: str
    low: float
    value: float
    high: float
    word: str
    known: bool
    source: str
    status: str


class ContactRow(msgspec.Struct, frozen=True, kw_only=True):
    """One tank: the likeliest chain that led there, when last, until when it is watched."""

    tank: str
    name: str
    chances: list[ChanceRow]
    path: list[LinkRow]
    at: str
    until: str
    looks: list[LookRow]
    seen: list[str]
    says: str


class GoneRow(msgspec.Struct, frozen=True, kw_only=True):
    """Animals that left the room meanwhile."""

    stock: str
    at: str
    why: str
    says: str


class CameRow(msgspec.Struct, frozen=True, kw_only=True):
    """A way by which it may have come in. `source` "": with newcomers."""

    source: str
    at: str
    way: str
    what: str
    says: str


class ContactResult(Result, frozen=True, kw_only=True):
    """Whom a tank may have reached. `first_seen` "": no sign is written down."""

    tank: str
    causes: list[str]
    signs: list[str]
    first_seen: str
    since: str
    contacts: list[ContactRow]
    by_hand: str
    gone: list[GoneRow]
    came: list[CameRow]
    holds: list[HoldRow]
