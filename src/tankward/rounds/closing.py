"""A tank closed: who may leave it, where they may go, what lived in it and so what its things may carry.

Safety rules 26 and 28. While it is not known what was in a tank, nothing of it is sold or given; nothing here
says that anything is clean.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from math import ceil
from typing import Literal

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.base import Status
from tankward.room.replay import Room
from tankward.room.things import Stock
from tankward.room.time import day_of
from tankward.treat.amounts.net_bath import (
    GENERAL,
    GERM_OF_CAUSE,
    MYCOBACTERIA,
    WASTING,
    WORM_EGGS,
    germ_of,
)
from tankward.treat.remedies.reach import organisms_of

from .episode import Episode
from .hold import UNKNOWN, Hold
from .newcomers import rule_for, worms_d
from .reached import Reach
from .watch import warmth
from .ways import CARRIERS, same_water

MATCHED_C = 2.0  # warmth may differ by so much; hygiene: acclimation, float
Kind = Literal["fish", "carrier", "plant", "unknown"]
ORDER: dict[Kind, int] = {"unknown": 0, "fish": 1, "carrier": 2, "plant": 3}
OPEN_WORMS = (WORM_EGGS, WASTING)
BY_FISH = "hands"  # a tank that was met by hands alone counts as not met


class Home(msgspec.Struct, frozen=True, kw_only=True):
    """A tank they may go to. exposed: it met the same already; free: nobody lives there; well: where nothing
    holds them. `differ_c`: how much warmer it is; None: not known.
    """

    tank: str
    why: Literal["exposed", "free", "well"]
    differ_c: float | None

    @property
    def fits(self) -> bool:
        """Whether its warmth is known and near enough."""
        return self.differ_c is not None and abs(self.differ_c) <= MATCHED_C


class Leaving(msgspec.Struct, frozen=True, kw_only=True):
    """One group. `apart`: until when it stays apart wherever nobody met the same, if it goes now; `worms`:
    the same while worms stay open; None where they do not.
    """

    stock: Stock
    kind: Kind
    held: bool
    homes: tuple[Home, ...]
    apart_d: float
    apart: date
    worms_d: float | None
    worms: date | None
    status: Status


class Dry(msgspec.Struct, frozen=True, kw_only=True):
    """How long one organism lives on dry things, and how long in water without a host."""

    organism: str
    cause: str
    dry_h: tuple[float, float]
    off_host_d: tuple[float, float] | None
    status: Status


class Closing(msgspec.Struct, frozen=True, kw_only=True):
    """All of one tank."""

    tank: str
    hold: Hold | None
    causes: tuple[str, ...]
    known: bool  # whether anybody can say what was in it, or nothing was seen at all
    germ: str
    groups: tuple[Leaving, ...]
    dry: tuple[Dry, ...]
    dry_d: int  # how long all of it dries: the usual, or as long as the hardest of them lasts

    @property
    def held(self) -> bool:
        return self.hold is not None

    @property
    def mycobacteria(self) -> bool:
        """Whether they stay open: bleach for an hour is not sure against them."""
        return self.germ in (MYCOBACTERIA, WASTING)

    @property
    def worms(self) -> bool:
        return self.germ in OPEN_WORMS

    @property
    def suspect(self) -> bool:
        """Whether its porous things may carry something: whatever was ever seen or given there."""
        return self.held or bool(self.causes) or not self.known


def held_for(hold: Hold | None, seen: Episode, tank: str, now: datetime) -> Hold | None:
    """Why nothing leaves a tank for good: signs of half a year hold too, if no closed course met them."""
    if hold is not None or seen.last_seen is None:
        return hold
    settled = any(c.closed is not None and c.closed.at >= seen.last_seen for c in seen.courses)
    if settled or now >= seen.last_seen + UNKNOWN:
        return None
    return Hold(tank=tank, why="unknown", since=seen.last_seen, until=seen.last_seen + UNKNOWN)


def closing(
    room: Room,
    tank: str,
    hold: Hold | None,
    seen: Episode,
    causes: tuple[str, ...],
    reach: Reach,
    now: datetime,
    zone: str,
    facts: Facts,
) -> Closing:
    """What closing a tank comes to.

    Parameters
    ----------
    room : Room
        As it stands.
    tank : str
        The tank.
    hold : Hold or None
        Why nothing leaves it.
    seen : Episode
        Its signs and courses.
    causes : tuple of str
        What may be in it.
    reach : Reach
        Whom it met: their homes are open to its animals.
    now : datetime
        The moment.
    zone : str
        Of the keeper's wall clock.
    facts : Facts
        The facts.
    """
    held = held_for(hold, seen, tank, now)
    known = seen.nothing or (bool(seen.causes) and not seen.open_cause)
    germ = (germ_of(causes) if causes else GENERAL) if known else WASTING
    dry = drying(causes if known else (*causes, *GERM_OF_CAUSE), facts)
    usual = next(float(r.value or 0.0) for r in facts.hygiene.closing if r.id == "dry")
    rows = [
        _leaving(room, s, tank, held, reach, germ, now, zone, facts)
        for s in room.stock.values()
        if s.tank == tank and s.number.high > 0
    ]
    return Closing(
        tank=tank, hold=held, causes=causes, known=known, germ=germ,
        groups=tuple(sorted(rows, key=lambda r: ORDER[r.kind])),
        dry=dry, dry_d=max([ceil(usual), *(ceil(d.dry_h[1] / 24.0) for d in dry)]),
    )  # fmt: skip


def kind_of(stock: Stock, facts: Facts) -> Kind:
    """What a group is when it leaves."""
    if stock.kind in facts.plants:
        return "plant"
    known = facts.animals.get(stock.kind)
    if known is None:
        return "unknown"
    return "carrier" if known.kind in CARRIERS else "fish"


def _leaving(
    room: Room,
    stock: Stock,
    tank: str,
    hold: Hold | None,
    reach: Reach,
    germ: str,
    now: datetime,
    zone: str,
    facts: Facts,
) -> Leaving:
    kind, today = kind_of(stock, facts), day_of(now, zone)
    temp = warmth(room, tank)
    rule = rule_for([stock], temp, facts)
    days = float(next(v for v in (rule.high, rule.value, rule.low) if v is not None))
    worms = worms_d(temp, facts) if germ in OPEN_WORMS and kind in ("fish", "unknown") else None
    homes = () if kind == "unknown" else tuple(homes_of(room, tank, hold, reach, facts))
    return Leaving(
        stock=stock, kind=kind, held=hold is not None, homes=homes,
        apart_d=days, apart=today + timedelta(days=ceil(days)),
        worms_d=worms, worms=today + timedelta(days=ceil(worms)) if worms else None, status=rule.status,
    )  # fmt: skip


def homes_of(room: Room, tank: str, hold: Hold | None, reach: Reach, facts: Facts) -> Sequence[Home]:
    """Where they may go: to those that met the same, or where nobody lives; the well only where nothing
    holds them. Those that fit by their warmth first.
    """
    met = {c.tank for c in reach.contacts if c.path[-1].way != BY_FISH and len(c.path) == 1}
    met |= set(same_water(room, tank))
    found = []
    for other in room.tanks:
        lives = [s for s in room.stock_of(other) if s.kind not in facts.plants]
        if other == tank or other in room.courses:
            continue
        if other in met and lives:
            found.append(Home(tank=other, why="exposed", differ_c=_differ(room, tank, other)))
        elif not lives:
            found.append(Home(tank=other, why="free", differ_c=_differ(room, tank, other)))
        elif hold is None:
            found.append(Home(tank=other, why="well", differ_c=_differ(room, tank, other)))
    return sorted(found, key=lambda h: (not h.fits, h.why != "exposed", room.tanks[h.tank].place))


def _differ(room: Room, tank: str, other: str) -> float | None:
    here, there = (warmth(room, t) for t in (tank, other))
    return None if here is None or there is None else there.value - here.value


def drying(causes: Sequence[str], facts: Facts) -> tuple[Dry, ...]:
    """Each organism that may be in it: how long it lasts on dry things, the hardest first."""
    found: list[Dry] = []
    for cause in causes:
        for organism in organisms_of((cause,), facts):
            rows = {
                p.name: p for p in organism.parameter if p.name in ("dry_hours", "off_host_days") and p.use
            }
            dry = rows.get("dry_hours")
            if dry is None or any(d.organism == organism.id for d in found):
                continue
            off = rows.get("off_host_days")
            found.append(
                Dry(
                    organism=organism.id, cause=cause, dry_h=(dry.low, dry.high),
                    off_host_d=(off.low, off.high) if off else None, status=dry.status,
                )
            )  # fmt: skip
    return tuple(sorted(found, key=lambda d: -d.dry_h[1]))
