"""What is suspected in a tank, and what the looks since it was first seen tell of it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.entries.animals import Death
from tankward.room.entries.looks import Look
from tankward.room.replay import Room

from .counts import Deaths, Told, heads, parasites

SITS = "visible_parasite"  # whatever it is, it can be counted
SEEN = 0.01
NOT_ON_FISH = frozenset({"deaths", "share", "tank"})  # groups of signs that no living fish shows


class Suspect(msgspec.Struct, frozen=True, kw_only=True):
    """An organism that may be at work, by which cause, and how likely that is (0 to 1; None: taken as so)."""

    organism: str
    cause: str = ""
    chance: float | None = None


class Seen(msgspec.Struct, frozen=True, kw_only=True):
    """From when an organism is followed, what each look told from then on, and who died."""

    since: datetime
    told: tuple[Told, ...] = ()
    deaths: Deaths | None = None
    dead_at: tuple[datetime, ...] = ()  # each time when fish were entered as dead since then

    @property
    def counted(self) -> bool:
        """Whether a number was given by any look."""
        return any(t.counted for t in self.told)


def seen_of(room: Room, tank: str, one: Suspect, now: datetime, back: datetime, facts: Facts) -> Seen:
    """From when it is followed, and by what.

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

    Notes
    -----
    It begins with the first look that saw one of its signs, else with the first that looked for one in vain.
    """
    looks = [look for look in room.looks(tank) if back <= look.at <= now]
    signs = telling(one.organism, facts)
    named = {s.id for s in facts.causes[one.cause].sign} if one.cause in facts.causes else set()
    visible = by_eye(one.organism, facts)
    every = (_told(look, signs, room, tank, facts, looks, visible) for look in looks)
    told = [t for t in every if t is not None]
    saw = [t.at for t in told if t.low > 0] + [k.at for k in looks if (named | set(signs)) & set(k.seen)]
    since = min(saw or [t.at for t in told], default=now)
    kept = tuple(t for t in told if t.at >= since)
    dead = [d for d in _dead(room, tank, facts) if since < d.at <= now]
    number = sum(d.number for d in dead)
    return Seen(
        since=since,
        told=kept,
        deaths=Deaths(since=since, at=now, number=number) if kept and since < now else None,
        dead_at=tuple(d.at for d in dead),
    )


def telling(organism: str, facts: Facts) -> list[str]:
    """Its signs, those first that are rarest where nothing is wrong."""
    signs = dict.fromkeys(p.sign for p in facts.organisms[organism].parameter if p.sign and p.use)
    kept = [s for s in signs if facts.signs[s].group not in NOT_ON_FISH]
    return sorted(kept, key=lambda s: (sum(facts.signs[s].p_background), s))


def by_eye(organism: str, facts: Facts) -> bool:
    """Whether one can be seen on a fish: of what nobody sees no number tells how many there are."""
    rows = facts.organisms[organism].parameter
    return max((p.high for p in rows if p.name == "seen_eye"), default=0.0) >= SEEN


def _told(
    look: Look,
    signs: Sequence[str],
    room: Room,
    tank: str,
    facts: Facts,
    looks: Sequence[Look],
    visible: bool,
) -> Told | None:
    """What one look tells, by one sign: signs of the same fish say the same. What was counted comes first:
    parasites, then fish.
    """
    for sign in (*signs, SITS) if visible else ():
        if sign in look.parasites:
            return parasites(look.at, sign, look.parasites[sign], look.looked_at or 1.0)
    of = look.looked_at or _heads(look, room, tank, facts)
    for sign in signs:
        if sign in look.counts:
            number = look.counts[sign]
            return heads(look.at, sign, number, number, max(of, number))
    for sign in signs:
        if sign in look.seen:
            low, high = _shared(look.share, max(of, 1.0))
            return heads(look.at, sign, low, high, max(of, 1.0), counted=False)
    missed = next((s for s in signs if s in look.absent), "")
    if not missed and look.well:
        missed = next((s for s in signs if any(s in k.seen or s in k.counts for k in looks)), "")
    return heads(look.at, missed, 0, 0, of, counted=False) if missed else None


def _shared(share: str, of: float) -> tuple[float, float]:
    """How many "one", "some" or "most" may be; seen at all is one or more."""
    half = max(of // 2, 1.0)
    return {"one": (1.0, 1.0), "some": (1.0, half), "most": (half, of)}.get(share, (1.0, of))


def _heads(look: Look, room: Room, tank: str, facts: Facts) -> float:
    """Fish that were there: those that are now, and those that have died since."""
    kept = [s for s in room.stock_of(tank) if _fish(s.kind, facts) and look.stock in ("", s.id)]
    died = _dead(room, tank, facts, look.stock)
    return sum(s.number.value for s in kept) + sum(d.number for d in died if d.at > look.at)


def _dead(room: Room, tank: str, facts: Facts, stock: str = "") -> list[Death]:
    """Fish that were entered as dead."""
    all_ = [e for e in room.of_tank(tank) if isinstance(e, Death) and stock in ("", e.stock)]
    return [e for e in all_ if e.stock not in room.stock or _fish(room.stock[e.stock].kind, facts)]


def died(room: Room, tank: str, since: datetime, until: datetime, facts: Facts) -> Deaths:
    """Fish that were entered as dead after an instant and up to another."""
    number = sum(d.number for d in _dead(room, tank, facts) if since < d.at <= until)
    return Deaths(since=since, at=until, number=round(number))


def _fish(kind: str, facts: Facts) -> bool:
    """An animal that nobody knows counts as a fish."""
    return kind not in facts.plants and (kind not in facts.animals or facts.animals[kind].kind == "fish")


def of_causes(chances: Sequence[tuple[str, float | None]], facts: Facts) -> tuple[Suspect, ...]:
    """The organisms behind these causes, each once, by its likeliest cause."""
    out: dict[str, Suspect] = {}
    for cause, chance in chances:
        for organism in facts.causes[cause].organisms if cause in facts.causes else ():
            out.setdefault(organism, Suspect(organism=organism, cause=cause, chance=chance))
    return tuple(out.values())
