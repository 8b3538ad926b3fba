"""What a course is made for: the tank, who lives there, the water, the shelf, what was given before."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime, timedelta

import msgspec

from tankward.judge.causes import Ranking
from tankward.judge.conditions import People
from tankward.judge.finding import Finding
from tankward.judge.findings import findings
from tankward.judge.trials import Trial
from tankward.judge.waterstate import WaterState, water_state
from tankward.knowledge.known import Facts
from tankward.model.levels import levels
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.acts import Dose
from tankward.room.entries.acts import CourseBegun
from tankward.room.entries.animals import JarTrial
from tankward.room.holds import there_now
from tankward.room.replay import Room
from tankward.room.things import Kit, Stock, Supply, Tank
from tankward.room.volume import litres
from tankward.treat.remedies.situation import Situation

SHOWS_ITSELF = ("visible_parasite", "worms_at_vent", "segments_in_faeces", "white_spots", "gold_dust")
SIX_MONTHS = timedelta(days=183)  # safety rule 12
STILL_IN = timedelta(days=28)  # a dose older than this is not followed any more [common practice, our choice]


class Before(msgspec.Struct, frozen=True, kw_only=True):
    """A course given before in this tank."""

    substance: str
    begun: datetime


class CourseRequest(msgspec.Struct, frozen=True, kw_only=True):
    """Everything a course depends on."""

    tank: Tank
    stock: tuple[Stock, ...]
    volume_l: Estimate | None = None
    temp_c: Estimate | None = None
    water: WaterState | None = None
    findings: tuple[Finding, ...] = ()
    kit: Kit = Kit()
    shelf: tuple[Supply, ...] = ()
    causes: tuple[str, ...] = ()
    seen: tuple[str, ...] = ()  # signs seen: what makes a cause more than a guess
    ranking: Ranking | None = None
    still_in: Mapping[str, float] = {}
    trials: tuple[Trial, ...] = ()
    not_there: tuple[str, ...] = ()
    people: People | None = None
    before: tuple[Before, ...] = ()
    zone: str = "UTC"

    @property
    def seen_cause(self) -> bool:
        """Whether something was seen that shows the cause itself, not only its effect."""
        return bool({*self.seen} & {*SHOWS_ITSELF})

    def situation(self, facts: Facts, causes: tuple[str, ...], region: str) -> Situation:
        """The same as a remedy is judged against."""
        return Situation(
            causes=causes,
            stock=self.stock,
            facts=facts,
            volume_l=self.volume_l,
            water=self.water,
            region=region,
            shelf=self.shelf,
            still_in=self.still_in,
            findings=self.findings,
            ranking=self.ranking,
            seen=self.seen,
            trials=self.trials,
            not_there=self.not_there,
            people=self.people,
        )


def request_from_room(
    room: Room,
    tank_id: str,
    facts: Facts,
    now: datetime,
    *,
    causes: Sequence[str] = (),
    ranking: Ranking | None = None,
    not_there: Collection[str] = (),
    people: People | None = None,
    zone: str = "UTC",
) -> CourseRequest:
    """A request with all that the room knows of a tank.

    Raises
    ------
    BadInput
        If there is no such tank.
    """
    if tank_id not in room.tanks:
        raise BadInput("tank", tank_id, "is no tank of this room.")
    state = water_state(room, tank_id, now, facts)
    temp = state.of("temp_c")
    seen = _seen(room, tank_id, now)
    return CourseRequest(
        tank=room.tanks[tank_id],
        stock=tuple(room.stock_of(tank_id)),
        volume_l=there_now(room.tanks[tank_id], room, now),
        temp_c=None if temp is None else Estimate(temp.value, temp.low, temp.high),
        water=state,
        findings=findings(state, facts, seen),
        kit=room.kit,
        shelf=tuple(s for s in room.shelf.values() if not s.gone),
        causes=tuple(causes),
        seen=seen,
        ranking=ranking,
        still_in=still_in(room, tank_id, facts, now),
        trials=_trials(room, tank_id),
        not_there=tuple(not_there),
        people=people,
        before=_before(room, tank_id, now),
        zone=zone,
    )


RECENT_LOOK = timedelta(days=14)


def _seen(room: Room, tank_id: str, now: datetime) -> tuple[str, ...]:
    """Signs of the looks of the last two weeks, less those that a later look did not find."""
    seen: dict[str, None] = {}
    for look in room.looks(tank_id):
        if now - RECENT_LOOK <= look.at <= now:
            for sign in look.absent:
                seen.pop(sign, None)
            seen.update(dict.fromkeys(look.seen))
    return tuple(seen)


def _trials(room: Room, tank_id: str) -> tuple[Trial, ...]:
    found = []
    for entry in room.of_tank(tank_id):
        if isinstance(entry, JarTrial):
            harmed = {*entry.died, *([*entry.lived] if entry.ill else [])}
            for animal in dict.fromkeys((*entry.lived, *entry.died)):
                found += [
                    Trial(substance=s, animal=animal, level=x, hours=entry.hours, harmed=animal in harmed)
                    for s, x in entry.conc_mg_l.items()
                ]
    return tuple(found)


def _before(room: Room, tank_id: str, now: datetime) -> tuple[Before, ...]:
    begun = [e for e in room.of_tank(tank_id) if isinstance(e, CourseBegun)]
    recent = [e for e in begun if now - SIX_MONTHS <= e.at <= now]
    return tuple(Before(substance=e.substance, begun=e.at) for e in recent)


def still_in(room: Room, tank_id: str, facts: Facts, now: datetime) -> dict[str, float]:
    """What is likely left of every substance dosed in the last four weeks. [own unit]"""
    return {substance: left.value for substance, left in left_in(room, tank_id, facts, now).items()}


def left_in(room: Room, tank_id: str, facts: Facts, now: datetime) -> dict[str, Estimate]:
    """The same with its range. [own unit]"""
    volume = litres(room.tanks[tank_id])
    if volume is None:
        return {}
    acts = [(at, act) for at, act in room.acts(tank_id) if now - STILL_IN <= at <= now]
    dosed = dict.fromkeys(s for _, act in acts if isinstance(act, Dose) for s in act.actives)
    tank = room.tanks[tank_id]
    return {
        substance: levels(
            substance, acts, facts=facts, volume_l=volume, temp_c=tank.temp_c, filter=tank.filter, until=now
        ).end
        for substance in dosed
        if substance in facts.substances
    }
