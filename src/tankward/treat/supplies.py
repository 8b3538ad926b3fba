"""What a course takes of the shelf: how much of each packet, whether that is there, what it costs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import ceil

import msgspec

from tankward.room.acts import AnyAct, Dose
from tankward.room.entries.acts import Done, Step
from tankward.room.replay import Room
from tankward.room.things import Supply
from tankward.room.treated import Treated, treated
from tankward.treat.course.records import Course

SAME = 1e-9  # of what was counted in parts: a third three times is one


class Need(msgspec.Struct, frozen=True, kw_only=True):
    """So much of one packet. `left` and `cost` None: nobody wrote down how many there are, what one cost."""

    supply: str
    name: str
    unit: str
    units: float
    left: float | None = None
    cost: float | None = None  # of `units`, in what the packet was paid in

    @property
    def enough(self) -> bool | None:
        """Whether it is there; None: not known."""
        return None if self.left is None else self.left >= self.units * (1 - SAME)

    @property
    def short(self) -> float:
        """How much is missing."""
        return 0.0 if self.enough is not False or self.left is None else self.units - self.left


def of_course(course: Course, shelf: Mapping[str, Supply]) -> tuple[Need, ...]:
    """What a proposed course takes in all: its doses, in water or tub, and the packets of its food."""
    units = sum(d.units for d in course.doses if d.units is not None)
    recipe = course.recipe
    if recipe is not None and recipe.packets is not None:
        fed_d = (course.ends - course.start).total_seconds() / 86400.0
        batches = ceil(fed_d / recipe.days_per_batch - SAME) if recipe.days_per_batch else 1
        units += recipe.packets * max(batches, 1)
    return _needs({course.supply: units} if course.supply and units else {}, shelf)


def of_steps(steps: Iterable[Step], shelf: Mapping[str, Supply]) -> tuple[Need, ...]:
    """What the steps of a begun course take; food made at once is counted with its recipe, not here."""
    return _of_acts((s.act for s in steps), shelf)


def still_to_give(one: Treated) -> tuple[Step, ...]:
    """Steps of a running course that nobody ticked or left out."""
    return tuple(s for s in one.steps if s.id not in one.told) if one.runs else ()


def given(room: Room, one: Treated) -> tuple[Need, ...]:
    """What was given of a course, by its ticks; what is left of it on the shelf is that of today."""
    done = (e.act for e in one.told.values() if isinstance(e, Done))
    return _of_acts(done, room.shelf)


def short(room: Room) -> list[tuple[str, Need]]:
    """(tank, packet) of every running course for whose rest a packet is not enough.

    Courses that draw on one packet share what is left: the one that needs it first has it first. `left` is
    what is there for this one.
    """
    rest = [(tank, one) for tank in room.courses if tank in room.tanks for one in treated(room, tank)[-1:]]
    wanted = sorted(
        ((step.at, tank, step) for tank, one in rest for step in still_to_give(one)),
        key=lambda row: (row[0], row[1], row[2].id),
    )
    taken: dict[str, float] = {}
    missing: dict[tuple[str, str], float] = {}
    for _, tank, step in wanted:
        for need in of_steps([step], room.shelf):
            before = taken.get(need.supply, 0.0)
            taken[need.supply] = before + need.units
            if need.left is not None and taken[need.supply] > need.left * (1 + SAME):
                lacks = min(need.units, taken[need.supply] - need.left)
                missing[tank, need.supply] = missing.get((tank, need.supply), 0.0) + lacks
    return [
        (tank, msgspec.structs.replace(need, left=max(need.units - missing[tank, need.supply], 0.0)))
        for tank, one in rest
        for need in of_steps(still_to_give(one), room.shelf)
        if (tank, need.supply) in missing
    ]


def _of_acts(acts: Iterable[AnyAct], shelf: Mapping[str, Supply]) -> tuple[Need, ...]:
    units: dict[str, float] = {}
    for act in acts:
        if isinstance(act, Dose) and act.supply and act.units:
            units[act.supply] = units.get(act.supply, 0.0) + act.units
    return _needs(units, shelf)


def _needs(units: Mapping[str, float], shelf: Mapping[str, Supply]) -> tuple[Need, ...]:
    found = []
    for supply, count in units.items():
        packet = shelf.get(supply)
        if packet is not None:
            cost = None if packet.price is None else packet.price * count
            found.append(
                Need(
                    supply=supply,
                    name=packet.name,
                    unit=packet.unit,
                    units=count,
                    left=packet.left,
                    cost=cost,
                )
            )
    return tuple(found)
