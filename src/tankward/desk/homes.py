"""Which tank of the room could take those that a remedy harms: exposed animals never go among fish."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import datetime

from tankward.judge.neighbours import ill_tanks
from tankward.knowledge.known import Facts
from tankward.room.holds import water_of
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.room.volume import litres
from tankward.room.weight import stock_g

APART_C = 3.0  # warmth between the two tanks; more is a shock [common practice, our choice]
FISH_G_PER_L = 0.5  # of a tub with a young filter, `hospital` of the facts' stocking


def home_for(room: Room, tank: str, names: Collection[str], now: datetime, facts: Facts) -> Tank | None:
    """A tank that stands without fish and could take the groups named; None where there is none.

    Fish go only where nobody lives; shrimp, snails and plants where no fish lives, so that what they carry
    finds nobody (safety rules 15 and 26). No course runs there, its water is no part of this one's, and
    nothing was seen in it for four weeks.
    """
    moved = [s for s in room.stock_of(tank) if s.name in names]
    if not moved:
        return None
    fish = [s for s in moved if _is_fish(s.kind, facts)]
    weights = [stock_g(s, facts) for s in fish]
    grams = sum(w.high for w in weights if w is not None)
    unknown = any(w is None for w in weights)
    ill = ill_tanks(room, tank, now)
    fit = [t for t in room.tanks.values() if t.id not in (tank, *ill) and _apart(room, tank, t)]
    fit = [t for t in fit if not _kinds(room, t.id, facts) if not fish or not room.stock_of(t.id)]
    if fish:
        fit = [t for t in fit if not unknown and (held := litres(t)) and grams <= FISH_G_PER_L * held.low]
    fit = [t for t in fit if water_of(t, room).value is not None]
    return min(fit, key=lambda t: (bool(room.stock_of(t.id)), t.name), default=None)


def _is_fish(kind: str, facts: Facts) -> bool:
    """An animal of no known kind counts as a fish: the stricter."""
    if kind in facts.plants:
        return False
    return kind not in facts.animals or facts.animals[kind].kind in ("fish", "amphibian")


def _kinds(room: Room, tank: str, facts: Facts) -> Iterable[str]:
    """The fish that live there."""
    return [s.kind for s in room.stock_of(tank) if _is_fish(s.kind, facts)]


def _apart(room: Room, tank: str, other: Tank) -> bool:
    """No shared water, no course there, and about as warm where that is known."""
    here = room.tanks[tank]
    systems = {here.system or here.id, here.id} & {other.system or other.id, other.id}
    if systems or other.id in room.courses:
        return False
    if here.temp_c is None or other.temp_c is None:
        return True
    return abs(here.temp_c.value - other.temp_c.value) <= APART_C
