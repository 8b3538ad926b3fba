"""A large room by arithmetic: forty tanks, ten years, some thirty thousand entries. All of it invented."""

from datetime import UTC, datetime, timedelta
from itertools import count
from uuid import UUID

from tankward.quantities.parse import Estimate
from tankward.room.acts import Change, Dose
from tankward.room.entries.acts import CourseBegun, Done, Step
from tankward.room.entries.animals import Death, StockAdded
from tankward.room.entries.base import Entry
from tankward.room.entries.looks import Look
from tankward.room.entries.tanks import TankAdded
from tankward.room.entries.water import ReadingTaken
from tankward.room.things import Reading, Stock, Tank

NOW = datetime(2026, 5, 12, 21, 2, tzinfo=UTC)
CROWDED = "t1"  # the tank of many groups
TREATED = "t2"  # the tank of the long course
KINDS = ("guppy", "cherry_barb", "neon_rainbow", "white_cloud_minnow", "cherry_shrimp")
WEEK = timedelta(days=7)


def big_room(
    years: float = 10, tanks: int = 40, groups: int = 30, steps: int = 60, now: datetime = NOW
) -> list[Entry]:
    """The logbook: each tank read and changed every other week, looked at every third; one dead a year."""
    numbers = count(1)

    def head(at: datetime, tank: int) -> dict[str, object]:
        stamp = int(at.timestamp() * 1000) & ((1 << 48) - 1)
        value = (stamp << 80) | (0x7 << 76) | (0b10 << 62) | next(numbers)
        return {"id": str(UUID(int=value)), "at": at, "tank": f"t{tank}"}

    begin = now - timedelta(days=365.25 * years)
    made: list[Entry] = []
    for n in range(1, tanks + 1):
        made += _tank(n, groups if n == 1 else 2, begin, head)
        made += _history(n, begin, now, head)
    return [*made, _course(steps, now, head)]


def _tank(n, groups, at, head):
    tank = Tank(
        id=f"t{n}", name=f"T{n}", volume_l=Estimate.exact(240.0 if n == 1 else 54.0), filter="sponge",
        temp_c=Estimate.exact(25.0), light_h=8.0, air=True, filter_age_d=60.0,
    )  # fmt: skip
    yield TankAdded(**head(at, n), thing=tank)
    for g in range(groups):
        stock = Stock(
            id=f"t{n}-{g}", tank=f"t{n}", kind=KINDS[(n + g) % len(KINDS)], name=f"group {g + 1}",
            number=Estimate.exact(6.0 if n == 1 and g else 20.0), length_cm=Estimate.exact(2.5),
        )  # fmt: skip
        yield StockAdded(**head(at, n), thing=stock)


def _history(n, begin, now, head):
    for week in range(int((now - begin) / WEEK)):
        at = begin + week * WEEK + timedelta(hours=1 + n / 60)
        if week % 2 == 0:
            values = (
                Reading(quantity="ammonia_n", value=0.0),
                Reading(quantity="nitrite_n", value=0.0),
                Reading(quantity="ph", value=7.4),
                Reading(quantity="temp_c", value=25.0),
            )
            yield ReadingTaken(**head(at, n), values=values)
        else:
            yield Done(**head(at, n), act=Change(share=0.3, dechlorinated=True))
        if week % 3 == 0:
            yield Look(**head(at + timedelta(hours=1), n), well=True, eating="yes")
        if week % 52 == 51:
            yield Death(**head(at + timedelta(hours=2), n), stock=f"t{n}-0", number=1, taken_out=True)


def _course(steps, now, head):
    mg = {"praziquantel": 2.0 * 54}
    planned = [
        Step(
            id=f"s{k}",
            at=now + timedelta(hours=6 * k + 1),
            act=Dose(actives=mg) if k % 2 else Change(share=0.2),
        )
        for k in range(steps)
    ]
    return CourseBegun(
        **head(now - timedelta(hours=1), 2), name="a long course", substance="praziquantel",
        route="water_long", steps=tuple(planned),
    )  # fmt: skip
