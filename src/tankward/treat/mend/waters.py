"""What is known of a tank's water and of the tap's, as far as a mixture of the two needs it."""

from __future__ import annotations

from datetime import datetime

from tankward.judge.choices import READING_STALE_H, Choice
from tankward.judge.shock import Mixes
from tankward.room.entries.water import ReadingTaken
from tankward.room.replay import Room
from tankward.room.time import hours_between

# A hardness moves slower than a pH; a tap stays as it is [our own choice].
HARDNESS_STALE_H = Choice(value=28 * 24.0, unit="h", why="older than this it says nothing of the tank")
QUICK, SLOW = ("ph", "ammonia_n", "temp_c"), ("kh", "gh", "conductivity")


def tank_water(room: Room, tank: str, now: datetime) -> Mixes:
    """Of the tank, as it was last read."""
    quick = _latest(room, tank, "tank", QUICK, now, READING_STALE_H.value)
    slow = _latest(room, tank, "tank", SLOW, now, HARDNESS_STALE_H.value)
    described = room.tanks[tank].temp_c
    if "temp_c" not in quick and described is not None:
        quick["temp_c"] = described.value
    return Mixes(**quick, **slow)


def tap_water(room: Room, now: datetime) -> Mixes:
    """Of the tap, whichever tank it was read for: the room has one."""
    return Mixes(**_latest(room, "", "tap", (*QUICK[:2], *SLOW), now, None))


def _latest(
    room: Room, tank: str, where: str, names: tuple[str, ...], now: datetime, stale_h: float | None
) -> dict[str, float]:
    entries = room.of_tank(tank) if tank else room.log
    read = [e for e in entries if isinstance(e, ReadingTaken) and e.where == where and e.at <= now]
    fresh = [e for e in read if stale_h is None or hours_between(e.at, now) <= stale_h]
    return {r.quantity: r.value for e in fresh for r in e.values if r.quantity in names}
