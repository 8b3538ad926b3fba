"""Newcomers apart, as the record that the command answers with."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.room.time import day_of
from tankward.rounds.carries import Common
from tankward.rounds.newcomers import Apart

from .results import Source
from .results_quarantine import (
    ApartRow,
    ArrivalRow,
    CommonRow,
    DayRow,
    PlaceRow,
    QuarantineResult,
    WaterRow,
)
from .words import newcomers as words


class Place(Protocol):
    """A tank as a place for newcomers."""

    @property
    def tank(self) -> str: ...
    @property
    def free(self) -> bool: ...
    @property
    def why(self) -> str: ...


def quarantine_result(
    found: words.Found | None,
    apart: Sequence[Apart],
    places: Sequence[Place],
    room: Room,
    now: datetime,
    zone: str,
    facts: Facts,
    told: str,
    sources: list[Source],
    entries: Sequence[str] = (),
) -> QuarantineResult:
    """What the command answers: of those that come, or of those that are apart already."""
    arrivals = found.arrivals if found else ()
    heads = [words.apart_heading(a, room, now, zone) for a in apart]
    head = words.heading(found, room) if found else "\n".join(heads) or "Nobody is apart."
    rule = [words.days_says(a) for a in arrivals]
    return QuarantineResult(
        says="\n".join([head, *([words.begun_says(found, room)] if entries and found else [])]),
        arrivals=[_arrival(a, found, room, now, zone, facts) for a in arrivals if found],
        apart=[_apart(a, room, now, zone, facts) for a in apart],
        places=[PlaceRow(tank=p.tank, free=p.free, why=p.why) for p in places],
        set_up=[f"{head}. {soft}" for head, soft in (*words.SET_UP, *words.BAG)] if found else [],
        without_a_sign=[f"{head}. {soft}" for head, soft in words.NO_SIGN],
        never=list(words.NEVER), entries=list(entries),
        assumes=[words.WATER_SURE.rstrip(".")] if any(a.fed for a in arrivals) else [],
        cautions=list(dict.fromkeys([*rule, *(words.NONE_COMMON for a in arrivals if not a.common)])),
        sources=sources, now=told,
    )  # fmt: skip


def _days(rows: Sequence[words.DayRow]) -> list[DayRow]:
    return [DayRow(on=r.on.isoformat(), says=r.head, why=r.soft, done=r.done) for r in rows]


def _arrival(
    one: words.Arrival, found: words.Found, room: Room, now: datetime, zone: str, facts: Facts
) -> ArrivalRow:
    return ArrivalRow(
        origin=one.source, who=words.who(one), tank=one.tank, least_l=one.least_l, days=one.days,
        over=one.over.isoformat(), open_until=one.open_until.isoformat() if one.open_until else "",
        steps=_days(words.day_rows(one, found.came, day_of(now, zone), zone)),
        water=[_water(f) for f in one.fed],
        common=[_common(c, facts) for c in one.common],
        says=f"{words.from_words(one)}: {words.who(one)}. {words.place_says(one, room)}",
        source="none", status=one.status,
    )  # fmt: skip


def _water(fed: words.Fed) -> WaterRow:
    return WaterRow(
        food_share=fed.food, volume_l=fed.plan.volume_l, rise_mg_l_day=fed.plan.rise_mg_l_day,
        change_every_days=fed.wait_days, nh3_n_mg_l=fed.nh3_n_mg_l, days_to_bound=fed.days_to_bound,
        bound_mg_l=fed.plan.bound_mg_l, says=words.fed_says(fed), how=list(fed.how),
        source="TIMMONS EMERSON75", status="computed",
    )  # fmt: skip


def _common(one: Common, facts: Facts) -> CommonRow:
    low, high = one.days or (None, None)
    return CommonRow(
        cause=one.cause, group=one.group, origin=one.origin, share=one.share, low=one.low, high=one.high,
        n=one.n, round_low_days=low, round_high_days=high, signs=list(one.signs),
        says=f"{words.common_says(one, facts)} {words.common_soft(one, facts)}", source=one.source,
        status=one.status,
    )  # fmt: skip


def _apart(one: Apart, room: Room, now: datetime, zone: str, facts: Facts) -> ApartRow:
    return ApartRow(
        tank=one.tank, stock=list(one.stock), since=one.since.isoformat(), restarted=one.restarted,
        over=one.over.isoformat(), open_until=one.open_until.isoformat() if one.open_until else "",
        residents=list(one.residents), steps=_days(words.apart_rows(one, day_of(now, zone))),
        says=f"{words.apart_heading(one, room, now, zone)} {words.apart_why(one, room, facts)}",
    )  # fmt: skip
