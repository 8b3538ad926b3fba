"""All that a forecast answers of one tank: its lines, its medicines, what today's readings changed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import msgspec

from tankward.judge.learned import Learned, learned
from tankward.judge.suspects import suspects
from tankward.knowledge.known import Facts
from tankward.model.forecast import forecast
from tankward.model.result import Forecast
from tankward.model.suspect import Suspect, of_causes
from tankward.quantities.faults import BadInput
from tankward.room.replay import Room
from tankward.treat.drugs_ahead import Drug, drugs_ahead

from .forecasts import Planned, planned_of

USUAL_D = 7.0
FOLLOWED_D = 28.0  # where an organism is followed: so long until the last of the days that are told


class Ahead(msgspec.Struct, frozen=True, kw_only=True):
    """What comes in a tank."""

    forecast: Forecast
    drugs: tuple[Drug, ...]
    learned: Learned


class Asked(msgspec.Struct, frozen=True, kw_only=True):
    """A forecast with what it was made for: the planned acts, the causes treated or followed."""

    forecast: Forecast
    planned: Planned
    causes: tuple[str, ...]


def ahead(
    room: Room,
    tank: str,
    now: datetime,
    zone: str,
    facts: Facts,
    *,
    days: float | None = None,
    causes: Sequence[str] | None = None,
) -> Ahead:
    """Everything that a forecast answers; `zone` of the keeper's wall clock, else as `asked_forecast`."""
    made = asked_forecast(room, tank, now, facts, days=days, causes=causes)
    return Ahead(
        forecast=made.forecast,
        drugs=drugs_ahead(made.forecast, room, made.causes, facts),
        learned=learned(room, made.forecast, made.planned, zone, facts),
    )


def asked_forecast(
    room: Room,
    tank: str,
    now: datetime,
    facts: Facts,
    *,
    days: float | None = None,
    causes: Sequence[str] | None = None,
    draws: int = 256,
) -> Asked:
    """A forecast as somebody asks for it.

    Parameters
    ----------
    room : Room
        The logbook, replayed.
    tank : str
        Its id.
    now : datetime
        With zone.
    facts : Facts
        The facts.
    days : float, optional
        How far ahead; None: 28 where an organism is followed, else 7. [d]
    causes : sequence of str, optional
        Followed as if each were the one; None: that of the course that runs, else what looks likely.
    draws : int
        64, 128, 256, 512 or 1024.

    Raises
    ------
    BadInput
        If the tank or its water isn't known, or no organism stands behind the causes.
    """
    followed = suspects(room, tank, now, facts) if causes is None else _asked(causes, room, tank, facts)
    planned = planned_of(room, tank, now, facts)
    span = (FOLLOWED_D if followed else USUAL_D) if days is None else days
    made = forecast(room, tank, now, facts=facts, days=span, planned=planned, draws=draws, suspects=followed)
    course = room.courses.get(tank)
    treated = (course.cause,) if course and course.cause else tuple(s.cause for s in followed)
    return Asked(forecast=made, planned=planned, causes=treated)


def _asked(causes: Sequence[str], room: Room, tank: str, facts: Facts) -> tuple[Suspect, ...]:
    found = of_causes([(cause, None) for cause in causes], facts)
    names = ", ".join(facts.causes[c].name for c in causes)
    if causes and not found:
        raise BadInput("for", names, "has no organism whose life could be followed.")
    kinds = [facts.animals[s.kind].kind if s.kind in facts.animals else "" for s in room.stock_of(tank)]
    if causes and not {"fish", ""} & set(kinds):  # an animal that nobody knows may be a fish
        raise BadInput("for", names, f"has no fish to live on: there is none in {room.tanks[tank].name}.")
    return found
