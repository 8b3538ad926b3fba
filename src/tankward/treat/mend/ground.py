"""What the steps after a slip are worked out from; each part is worked out once, when it is asked for."""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import cached_property

from tankward.judge.choices import MEDICINE_H
from tankward.judge.findings import Gate, findings, medicine_gate
from tankward.judge.urgent import Told
from tankward.judge.waterstate import water_state
from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.room.acts import Dose
from tankward.room.entries.acts import Step
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.room.volume import litres

from .inside import InIt, in_it


class Ground:
    """One tank at one moment, with the slip in its logbook.

    `open`: steps of the course that runs which are neither done nor left out; `step`: the one that is meant;
    `meant`: the dose that a correction made smaller; `other`: the tank that went without.
    """

    def __init__(
        self,
        room: Room,
        tank: str,
        now: datetime,
        zone: str,
        facts: Facts,
        told: Told,
        *,
        open_steps: tuple[Step, ...] = (),
        step: str = "",
        meant: Dose | None = None,
        other: str = "",
    ) -> None:
        self.room, self.tank, self.now, self.zone = room, tank, now, zone
        self.facts, self.told = facts, told
        self.open, self.step, self.meant, self.other = open_steps, step, meant, other

    @property
    def here(self) -> Tank:
        return self.room.tanks[self.tank]

    @property
    def full_l(self) -> Estimate | None:
        return litres(self.here)

    @cached_property
    def inside(self) -> tuple[InIt, ...]:
        """The medicines in the water now."""
        return in_it(self.room, self.tank, self.now, self.facts, self.told)

    @property
    def over(self) -> tuple[InIt, ...]:
        """Those that have to come down."""
        return tuple(x for x in self.inside if x.thin is not None or x.out)

    @property
    def nameless(self) -> bool:
        """Whether something went in within two days of which nobody knows what it is, or how much."""
        since = self.now - timedelta(hours=MEDICINE_H.value)
        given = [a for at, a in self.room.acts(self.tank) if isinstance(a, Dose) and since <= at <= self.now]
        return any(not a.actives or not set(a.actives) <= set(self.facts.substances) for a in given)

    @cached_property
    def gate(self) -> Gate:
        """Whether the water stands before any medicine."""
        return medicine_gate(findings(water_state(self.room, self.tank, self.now, self.facts), self.facts))
