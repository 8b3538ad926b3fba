"""What is suspected in a tank, and how much of it the looks speak of."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import msgspec
import numpy as np

from tankward.knowledge import rules
from tankward.knowledge.known import Facts
from tankward.knowledge.temperature import parameters
from tankward.room.entries.looks import Look
from tankward.room.replay import Room

from .lives.columns import shares
from .rows import Array


class Suspect(msgspec.Struct, frozen=True, kw_only=True):
    """An organism that may be at work, by which cause, and how likely that is (0 to 1; None: taken as so)."""

    organism: str
    cause: str = ""
    chance: float | None = None


class Seen(msgspec.Struct, frozen=True, kw_only=True):
    """From when an organism is followed. `share`: of the fish that show `sign`; None: not counted."""

    at: datetime
    sign: str = ""
    share: float | None = None


def seen_first(room: Room, tank: str, one: Suspect, now: datetime, back: datetime, facts: Facts) -> Seen:
    """From when it is followed: the last look that counted one of its signs, else the first that saw one.

    Parameters
    ----------
    room : Room
        The logbook, replayed.
    tank : str
        Its id.
    one : Suspect
        The organism, with its cause or none.
    now, back : datetime
        Looks between these count; without any it is followed from `now`.
    facts : Facts
        Which signs it makes.
    """
    counted = counts(room, tank, one, now, back, facts)
    if counted:
        return counted[-1]
    signs = {p.sign for p in facts.organisms[one.organism].parameter if p.sign}
    named = {s.id for s in facts.causes[one.cause].sign} if one.cause in facts.causes else set()
    looks = [look for look in room.looks(tank) if back <= look.at <= now]
    first = next((look for look in looks if (signs | named) & set(look.seen)), None)
    return Seen(at=first.at if first else now)


def counts(
    room: Room, tank: str, one: Suspect, now: datetime, back: datetime, facts: Facts
) -> tuple[Seen, ...]:
    """The looks between these that counted one of its signs, in order of time; each by its first."""
    signs = {p.sign for p in facts.organisms[one.organism].parameter if p.sign}
    found = []
    for look in (look for look in room.looks(tank) if back <= look.at <= now):
        told = {s: _share(look, s, room, tank) for s in sorted(signs & look.counts.keys())}
        sign = next((s for s, share in told.items() if share is not None), None)
        if sign is not None:
            found.append(Seen(at=look.at, sign=sign, share=told[sign]))
    return tuple(found)


def _share(look: Look, sign: str, room: Room, tank: str) -> float | None:
    """Share of the fish that show it: of those looked at, else of all; never quite none or all of them."""
    of = look.looked_at or sum(s.number.value for s in room.stock_of(tank))
    if not of:
        return None
    edge = 0.5 / of
    return float(np.clip(look.counts[sign] / of, edge, 1.0 - edge))


def burden(facts: Facts, organism: str, seen: Seen, fish_g: Array) -> Array | None:
    """On one fish, by the share that shows a sign; None where nothing was counted.

    Notes
    -----
    Half of the fish show a sign at `sign_half` per gram, the rest by Hill: share = b^h/(half^h + b^h). An
    illness that is counted in fish is counted by the share itself.
    """
    if seen.share is None:
        return None
    found = facts.organisms[organism]
    if found.structure in ("reservoir", "slow_seid"):
        return np.full(fish_g.size, seen.share)
    half = parameters(found)["sign_half", "", seen.sign].draw(shares("start", fish_g.size), 0.0, 1.0)
    odds = seen.share / (1.0 - seen.share)
    return np.asarray(half * odds ** (1.0 / rules.figure("sign_hill")) * fish_g)


def of_causes(chances: Sequence[tuple[str, float | None]], facts: Facts) -> tuple[Suspect, ...]:
    """The organisms behind these causes, each once, by its likeliest cause."""
    out: dict[str, Suspect] = {}
    for cause, chance in chances:
        for organism in facts.causes[cause].organisms if cause in facts.causes else ():
            out.setdefault(organism, Suspect(organism=organism, cause=cause, chance=chance))
    return tuple(out.values())
