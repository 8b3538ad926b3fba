"""When a course stops, what goes back and when, who stays where they are afterwards, when suffering is ended.

Safety rules: at most the label's number of doses and three, and no third course without a cause seen (12);
what bothers is thinned first (18); the dead are evidence (25); survivors carry (26); a veterinarian first
(32, 33).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime, timedelta

import msgspec

from tankward.judge.limits import limits
from tankward.judge.progress import Progress
from tankward.judge.trials import trials_of
from tankward.knowledge.known import Facts
from tankward.model.falling import falls
from tankward.model.result import Forecast
from tankward.model.simulate import WATER
from tankward.quantities.faults import Reason
from tankward.quantities.parse import Estimate
from tankward.room.acts import Apart, Dose, Feed, LookAgain, Media, Move
from tankward.room.entries.acts import CourseBegun, Done, Step
from tankward.room.entries.looks import Look
from tankward.room.replay import Room
from tankward.room.things import Stock

from .course.dates import MOST_ROUNDS
from .course.request import SHOWS_ITSELF, SIX_MONTHS
from .medicine import is_medicine
from .mend.shifted import shifted
from .remedies.carry import carried
from .remedies.closed import third_course

Ahead = Callable[[], Forecast]
CARBON = "activated_carbon"
LASTS = timedelta(hours=20)  # a sign seen twice so far apart, and not missed between, lasts [our own choice]
FRESH = timedelta(days=2)  # the later of the two no older than that [our own choice]
UPRIGHT = ("on_side", "spinning", "surface_hang_head_down", "floats", "sinks")
WASTED = ("back_thin", "belly_sunken")
AIRLESS = "gasping_surface"
BEFORE = timedelta(days=1)  # who was moved out so long before a course began was moved for it


class Back(msgspec.Struct, frozen=True, kw_only=True):
    """What comes back after a course. `on` None: no day is known; `limit`: what they are taken to bear."""

    what: str  # carbon, animals, plants
    stock: str = ""
    kind: str = ""
    on: datetime | None = None
    substance: str = ""
    limit: float | None = None
    unit: str = ""
    source: str = "none"
    status: str = "common-practice"


class Survivor(msgspec.Struct, frozen=True, kw_only=True):
    """Of which illness survivors may carry it until when; None: as long as they live, or nobody knows."""

    cause: str
    until: datetime | None


class Rounds(msgspec.Struct, frozen=True, kw_only=True):
    """Doses given, to come, and the most there may be; courses of it here within six months, this one too."""

    given: int
    planned: int
    most: int
    label: int | None
    courses: int
    third: Reason | None  # why no further course of it is begun


class Suffering(msgspec.Struct, frozen=True, kw_only=True):
    """A sign of a fish that may suffer, and since when it lasts."""

    sign: str
    since: datetime


class Ending(msgspec.Struct, frozen=True, kw_only=True):
    """What ends a course, and what comes after it."""

    ends: datetime  # the last step that does something
    over: bool
    rounds: Rounds | None  # None: no medicine
    back: tuple[Back, ...]
    survivors: tuple[Survivor, ...]
    suffering: tuple[Suffering, ...]
    dead: int  # since it began


def ending(found: Progress, room: Room, now: datetime, facts: Facts, forecast: Ahead | None) -> Ending:
    """How a course ends.

    Parameters
    ----------
    found : Progress
        How it stands.
    room : Room
        What was given, who was moved.
    now : datetime
        With a zone.
    facts : Facts
        The facts.
    forecast : callable or None
        Makes one of what is in the water where somebody waits beside it; without one no day is known on which
        it falls under what they bear.
    """
    course = found.course
    runs = room.courses.get(course.tank)
    # As a dose that was given late put them off.
    steps = shifted(room, course.tank, facts).steps if runs and runs.id == course.id else course.steps
    acts = [s.at for s in steps if not isinstance(s.act, LookAgain)]
    ends = max(acts, default=course.at)
    return Ending(
        ends=ends,
        over=now >= ends,
        rounds=_rounds(course, room, facts, now),
        back=(*_carbon(course, steps, room, ends), *_moved_out(course, room, now, facts, forecast)),
        survivors=tuple(_survivors(course, room, now, ends, facts)),
        suffering=suffering(room.looks(course.tank), now),
        dead=found.dead_since,
    )


def _rounds(course: CourseBegun, room: Room, facts: Facts, now: datetime) -> Rounds | None:
    if course.substance not in facts.substances or not is_medicine(course.substance, facts):
        return None
    one = facts.substances[course.substance]
    parts = {one.id, *one.parts}
    done = [e for e in room.of_tank(course.tank) if isinstance(e, Done) and e.at >= course.at]
    told = {e.step for e in done}
    given = sum(_gives(e.act, parts) for e in done)
    planned = sum(_gives(s.act, parts) for s in course.steps if s.id not in told)
    supply = room.shelf.get(course.supply)
    label = supply.rule.most_doses if supply is not None and supply.rule is not None else None
    begun = [e for e in room.of_tank(course.tank) if isinstance(e, CourseBegun)]
    courses = sum(e.substance in parts and now - SIX_MONTHS <= e.at <= now for e in begun)
    shows = any(set(k.seen) & set(SHOWS_ITSELF) for k in room.looks(course.tank) if k.at >= now - SIX_MONTHS)
    return Rounds(
        given=given, planned=planned, most=min(MOST_ROUNDS, label or MOST_ROUNDS), label=label,
        courses=courses, third=None if shows else third_course(one, courses),
    )  # fmt: skip


def _gives(act: object, parts: set[str]) -> bool:
    if isinstance(act, Dose):
        return bool(parts & set(act.actives))
    return isinstance(act, Feed) and bool(parts & set(act.actives_mg_per_g))


def _carbon(course: CourseBegun, steps: Sequence[Step], room: Room, ends: datetime) -> Iterator[Back]:
    """When the step that puts it back is due; else the end, where it was taken out for the course."""
    planned = [s.at for s in steps if isinstance(s.act, Media) and s.act.into]
    acts = [(at, a) for at, a in room.acts(course.tank) if isinstance(a, Media) and a.medium == CARBON]
    out = [at for at, a in acts if not a.into and at >= course.at - BEFORE]
    back = [at for at, a in acts if a.into and at > max(out, default=course.at)]
    if (planned or out) and not back:
        yield Back(what="carbon", on=max(planned) if planned else ends)


def _moved_out(
    course: CourseBegun, room: Room, now: datetime, facts: Facts, forecast: Ahead | None
) -> Iterator[Back]:
    """Animals and plants that were taken out for the course, and when they bear what is left."""
    ids: list[str] = []
    for at, act in room.acts(course.tank):
        out = isinstance(act, Move) or (isinstance(act, Apart) and act.out)
        if out and course.at - BEFORE <= at <= now:
            ids.append(act.stock)  # type: ignore[union-attr]
    here = (room.stock[i] for i in dict.fromkeys(ids) if i in room.stock)
    waiting = [s for s in here if s.tank != course.tank or s.id in room.apart]
    ahead = forecast() if waiting and forecast is not None else None
    for stock in waiting:
        yield _back(stock, course, room, facts, ahead)


def _back(stock: Stock, course: CourseBegun, room: Room, facts: Facts, forecast: Forecast | None) -> Back:
    what = "plants" if stock.kind in facts.plants else "animals"
    bare = Back(what=what, stock=stock.name or stock.id, kind=stock.kind, status="memory")
    if forecast is None:
        return bare
    found = [_under(s, stock, course, room, facts, forecast) for s in _medicines(forecast, facts)]
    if not found:
        return msgspec.structs.replace(bare, on=forecast.now, status="computed")
    return max(found, key=lambda b: (b.on is None, b.on or forecast.now))


def _medicines(forecast: Forecast, facts: Facts) -> Sequence[str]:
    return [s for s in forecast.record.names if s not in WATER and is_medicine(s, facts)]


def _under(
    substance: str, stock: Stock, course: CourseBegun, room: Room, facts: Facts, forecast: Forecast
) -> Back:
    """From when on nine in ten of the draws lie under what they bear, whatever is still given."""
    borne = limits(substance, [stock], facts, trials=trials_of(room, course.tank))
    known = [x for x in borne if x.level is not None]
    bare = Back(
        what="plants" if stock.kind in facts.plants else "animals", stock=stock.name or stock.id,
        kind=stock.kind, substance=substance,
    )  # fmt: skip
    if not known or len(known) < len(borne):
        return bare
    least = min(known, key=lambda x: x.level or 0.0)
    level = least.level or 0.0
    when = falls(forecast, substance, level).last.high if level > 0 else None
    return msgspec.structs.replace(
        bare, on=None if when is None else forecast.now + timedelta(hours=when), limit=level,
        unit=forecast.record.units[substance], source=least.source, status=least.status,
    )  # fmt: skip


def _survivors(
    course: CourseBegun, room: Room, now: datetime, ends: datetime, facts: Facts
) -> Iterator[Survivor]:
    """Who may be sold or mixed from when on: by the life of the organism, after the last sign and dose."""
    if course.cause not in facts.causes:
        return
    signs = {s.id for s in facts.causes[course.cause].sign}
    seen = [k.at for k in room.looks(course.tank) if k.at <= now and signs & set(k.seen)]
    last = max([ends, *seen])
    for row in carried((course.cause,), _warm(room, course.tank), facts):
        until = None if row.days is None else last + timedelta(days=round(row.days))
        yield Survivor(cause=row.cause, until=until)


def _warm(room: Room, tank: str) -> Estimate | None:
    read = [r.value for e in room.readings(tank) for r in e.values if r.quantity == "temp_c"]
    return Estimate.exact(read[-1]) if read else room.tanks[tank].temp_c


def suffering(looks: Sequence[Look], now: datetime) -> tuple[Suffering, ...]:
    """Signs of a fish that may suffer and that last: seen twice, and not missed between.

    Parameters
    ----------
    looks : sequence of Look
        Of a tank, the oldest first.
    now : datetime
        The moment.

    Returns
    -------
    tuple of Suffering
        It can't hold itself upright; it wastes and does not eat; it gasps. Of the last, whether the water is
        good decides; that is asked for, not known here.
    """
    found = [s for s in (_lasting(looks, (sign,), now) for sign in (*UPRIGHT, AIRLESS)) if s is not None]
    thin = [s for s in (_lasting(looks, ("no_appetite", sign), now) for sign in WASTED) if s is not None]
    return (*found, *thin[:1])


def _lasting(looks: Sequence[Look], signs: tuple[str, ...], now: datetime) -> Suffering | None:
    since: datetime | None = None
    last: datetime | None = None
    for k in (k for k in looks if k.at <= now):
        if set(signs) <= set(k.seen) | ({"no_appetite"} if k.eating == "no" else set()):
            since, last = since or k.at, k.at
        elif set(signs) & set(k.absent) or k.well:
            since = None
    if since is None or last is None or last - since < LASTS or now - last > FRESH:
        return None
    return Suffering(sign=signs[-1], since=since)
