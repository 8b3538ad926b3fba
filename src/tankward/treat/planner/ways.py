"""Which remedies are looked at, and in which ways: from the options that are open and the keeper's wishes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.room.hours import Hours
from tankward.treat.course.asked import FoodWish
from tankward.treat.course.choice import choose
from tankward.treat.course.fish_out import FISH_OUT
from tankward.treat.course.make import make_course
from tankward.treat.course.records import Course
from tankward.treat.course.request import CourseRequest
from tankward.treat.course.shape import Changed, Shape
from tankward.treat.course.what_if import warmest
from tankward.treat.course.without import DATED, WAIT, without_course
from tankward.treat.medicine import is_medicine
from tankward.treat.remedies.levels import own_span
from tankward.treat.remedies.records import Option

from .clock import STARTS, Clock, starts, waking
from .dosed import FEEDS, Dosed
from .patterns import DAY_H, Extra
from .records import Wishes
from .way import Way
from .whole import Whole

READY = timedelta(minutes=15)  # to fetch what is needed [our own choice]
WARMER_C = 2.0  # [our own choice]
MOST_WARM_C = 28.0  # warmer, less oxygen is left than a sick fish wants [our own choice]


class Ways(NamedTuple):
    """The ways that are open, and what closes the others: by option, in their order."""

    ways: tuple[Way, ...]
    closed: tuple[tuple[Option, Reason], ...]


class Setting(NamedTuple):
    """What every way is made from."""

    request: CourseRequest
    facts: Facts
    wishes: Wishes
    clocks: tuple[Clock, ...]
    now: datetime

    @property
    def hours(self) -> tuple[Hours, str] | None:
        """The keeper's own hours with their zone; None where none were said."""
        return None if self.wishes.hours is None else (self.wishes.hours, self.request.zone)


def setting(request: CourseRequest, wishes: Wishes, now: datetime, facts: Facts) -> Setting:
    """When the keeper may begin."""
    hours = waking(wishes.hours)
    soon = _on_quarter(now + READY)
    if wishes.start is not None:
        begins: tuple[datetime, ...] = (wishes.start,)
    else:
        begins = starts(hours, soon, request.zone)
    return Setting(request, facts, wishes, tuple(Clock(at, hours, request.zone) for at in begins), now)


def _on_quarter(at: datetime) -> datetime:
    over = timedelta(minutes=at.minute % 15, seconds=at.second, microseconds=at.microsecond)
    return at if not over else at - over + timedelta(minutes=15)


def ways_of(options: Sequence[Option], here: Setting) -> Ways:
    """A way for each option that a plan may use, and why not for the rest."""
    ways: list[Way] = []
    closed: list[tuple[Option, Reason]] = []
    for option in options:
        if option.kind == "vet" or option.adjunct or option.first or not _aims(option):
            continue
        reason = against_wishes(option, here) or nobody_there(here)
        if reason is not None:
            closed.append((option, reason))
            continue
        try:
            way = way_of(option, here)
        except Refused as no:
            closed.append((option, no.reasons[0]))
        except BadInput as fault:
            closed.append((option, Reason(kind="not-known", because=str(fault))))
        else:
            ways += [way] if way is not None else []
    return Ways(tuple(ways), tuple(closed))


def _aims(option: Option) -> bool:
    """What only relieves is no course; what needs no medicine is followed all the same."""
    return not option.relieves or option.remedy in DATED


def way_of(option: Option, here: Setting) -> Way | None:
    """All the ways in which one remedy can be given; None where it is no course with dates."""
    if option.remedy in DATED and option.remedy != WAIT:
        return _without(option, here)
    if option.kind != "substance" or option.regimen is None:
        return None
    if option.route == "water_long":
        return _dosed(option, here) if option.place == "tank" else _in_a_tub(option, here)
    if option.route in ("water_bath", "dip"):
        return _bathed(option, here)
    if option.route == "feed":
        return _fed(option, here)
    if option.route == "heat":
        return _heated(option, here)
    return None


def _dosed(option: Option, here: Setting) -> Way:
    assert option.regimen is not None
    chosen = choose(here.request, option.substance, option.route, here.facts, regimen_id=option.regimen.id)
    warm = _warm(chosen.regimen.temp_max_c, here)
    return Dosed(option, chosen, here.request, here.facts, here.clocks, here.now, warm_c=warm)


def _warm(most_c: float | None, here: Setting) -> tuple[float | None, ...]:
    """As it is, and two degrees more where a heater is there and everybody bears it."""
    now_c, tank = here.request.temp_c, here.request.tank
    if now_c is None or not tank.heater:
        return (None,)
    warm = round(now_c.value + WARMER_C)
    tops = [warmest(s.kind, here.facts) for s in here.request.stock]
    known = [t for t in tops if t is not None]
    if len(known) < len(tops) or warm > min([MOST_WARM_C, *known, *([most_c] if most_c else [])]):
        return (None,)
    return (None, float(warm))


def _made(option: Option, here: Setting, clock: Clock, **more: object) -> Course:
    assert option.regimen is not None
    return make_course(
        here.request, option.substance, option.route, facts=here.facts, start=clock.start, now=here.now,
        regimen_id=option.regimen.id, **more,  # type: ignore[arg-type]
    )  # fmt: skip


def _fed(option: Option, here: Setting) -> Way:
    """Medicine in the food for as many days as are published."""
    assert option.regimen is not None
    low, high = option.regimen.duration_h_low, option.regimen.duration_h_high
    days = sorted({round(h / 24.0) for h in (low, high) if h} | {max(1, round((high or 24.0) / 24.0))})

    def care(clock: Clock, days: float, extra: Extra, siphon: bool) -> Shape | None:
        return cared(clock, days * DAY_H, extra, siphon, 1.0)

    def make(clock: Clock, days: float, extra: Extra, siphon: bool) -> Course:
        shape = care(clock, days, extra, siphon)
        return _made(option, here, clock, food=FoodWish(days=float(days)), shape=shape)

    usual = round((high or 24.0) / 24.0)
    ordered = [usual, *(d for d in days if d != usual)]
    choices = {"clock": here.clocks, "days": ordered, "extra": CARE, "siphon": (False, True)}
    return Whole(option, make, choices, here.now, hours=here.hours, care=care, simpler=LEFT_OUT)


def _heated(option: Option, here: Setting) -> Way:
    """The published warmth, its low end to its high one."""
    assert option.regimen is not None
    one = here.facts.substances[option.substance]
    low, high = own_span(option.regimen, one) or (None, None)
    levels = [None] if low is None or high is None else sorted({low, (low + high) / 2, high})

    hold_h = option.regimen.duration_h_high or WEEK_H

    def care(clock: Clock, level: float | None, extra: Extra, siphon: bool, feed: float) -> Shape | None:
        return cared(clock, hold_h, extra, siphon, feed)

    def make(clock: Clock, level: float | None, extra: Extra, siphon: bool, feed: float) -> Course:
        return _made(option, here, clock, level=level, shape=care(clock, level, extra, siphon, feed))

    choices = {
        "clock": here.clocks, "level": levels, "extra": CARE, "siphon": (False, True), "feed": FEEDS,
    }  # fmt: skip
    return Whole(
        option,
        make,
        choices,
        here.now,
        hours=here.hours,
        care=care,
        simpler=LEFT_OUT | {"feed": "usual-food"},
    )


def _in_a_tub(option: Option, here: Setting) -> Way:
    """The same medicine with the fish in a bare tub: its half changes are its own."""
    assert option.regimen is not None
    litres = (here.wishes.tub_l,)

    def make(clock: Clock, level: float | None, tub_l: float | None) -> Course:
        return _made(option, here, clock, level=level, place="tub", tub_l=tub_l)

    choices = {"clock": here.clocks, "level": _levels(option, here), "tub_l": litres}
    return Whole(option, make, choices, here.now, hours=here.hours)


def _levels(option: Option, here: Setting) -> list[float | None]:
    """As published: the low end, and where there is a span its middle and its high end."""
    assert option.regimen is not None
    span = own_span(option.regimen, here.facts.substances[option.substance])
    if span is None or span[0] == span[1]:
        return [None]
    return [None, (span[0] + span[1]) / 2, span[1]]


def _bathed(option: Option, here: Setting) -> Way:
    """A timed bath."""

    def make(clock: Clock, level: float | None) -> Course:
        return _made(option, here, clock, level=level, tub_l=here.wishes.tub_l)

    choices = {"clock": here.clocks, "level": _levels(option, here)}
    return Whole(option, make, choices, here.now, hours=here.hours)


def _without(option: Option, here: Setting) -> Way:
    """A remedy without medicine: as long as the organism needs, and longer; moved or in one tub."""
    told = {n.id: n.high for n in option.figures} if option.remedy == FISH_OUT else {}
    told = told if "move_days" in told else {}  # something leaves the fish and comes back
    tub_l = here.wishes.tub_l if option.remedy == FISH_OUT else None

    def make(clock: Clock, days: float | None, every_h: float | None, move_days: float | None) -> Course:
        if not every_h and every_h is not None and move_days is not None:
            raise BadInput("moved", f"{move_days:g} days", "is nothing where they are never moved.")
        if told and not _up(clock, told["move_every_h"] if every_h is None else every_h):
            raise Refused(NOT_UP)
        return without_course(
            here.request, option.remedy, here.facts, clock.start, here.now, days=days, every_h=every_h,
            move_days=move_days, tub_l=tub_l,
        )  # fmt: skip

    start = here.clocks[0].start
    usual = without_course(here.request, option.remedy, here.facts, start, here.now, tub_l=tub_l)
    days = round((usual.ends - usual.start).total_seconds() / 86400)
    longer: list[float | None] = [None, *(float(d) for d in (days + 7, days + 14) if d <= FISHLESS_MOST_D)]
    clocks, there = here.clocks, waking(here.wishes.hours)
    everies: list[float | None] = [None]
    moved: list[float | None] = [None]
    if option.remedy == FISH_OUT:
        everies += [24.0, 0.0]
    if told:
        usual_h = told["move_every_h"]
        everies = [None, *(h for h in (*MOVED_H, 0.0) if h != usual_h)]
        moved += [d for d in MOVED_D if d != told["move_days"]]
        clocks = (*clocks, *_steady(here.clocks[:STEADY], (usual_h, *MOVED_H)))
    return Whole(
        option,
        make,
        {"clock": clocks, "days": longer, "every_h": everies, "move_days": moved},
        here.now,
        hours=(there, here.request.zone),
    )


def _steady(clocks: Sequence[Clock], everies: Sequence[float]) -> tuple[Clock, ...]:
    """Starts, later on the same days, from which what comes every so many hours comes when somebody is up."""
    found: dict[datetime, Clock] = {}
    for clock in clocks:
        for every in everies:
            for n in range(round(DAY_H * 4)):
                later = Clock(clock.start + timedelta(minutes=15 * n), clock.hours, clock.zone)
                if _up(later, every):
                    found.setdefault(later.start, later)
                    break
    starts = {clock.start for clock in clocks}
    return tuple(clock for at, clock in sorted(found.items(), key=lambda row: row[0]) if at not in starts)


def _up(clock: Clock, every_h: float) -> bool:
    """Whether somebody is up each time, on the first day."""
    rounds = max(1, round(DAY_H / every_h)) if every_h else 1
    at = (clock.start + timedelta(hours=every_h * k) for k in range(rounds))
    return all(clock.hours.holds(when, clock.zone) for when in at)


NOT_UP = Reason(
    kind="not-at-home",
    because="Nobody is up for some of its moves.",
    would_change="other hours, or somebody who moves them then",
)
MOVED_H, MOVED_D = (8.0, 12.0, 24.0), (8.0, 14.0)  # [our own choice]
STEADY = 1  # day on which a start is looked for that suits the moves
FISHLESS_MOST_D = 35  # the fish have been in a tub for long enough then [our own choice]
CARE = (Extra(), Extra(1, 0.1), Extra(1, 0.25), Extra(2, 0.3), Extra(3, 0.3))
LEFT_OUT = {"extra": "fewer-changes", "siphon": "no-siphon"}
WEEK_H = 7 * DAY_H


def cared(clock: Clock, hold_h: float, extra: Extra, siphon: bool, feed: float) -> Shape | None:
    """Changes, siphoning and food beside a course; None where there is none of it.

    Raises
    ------
    BadInput
        If nobody is there for one of them.
    """
    every = DAY_H * extra.every_d
    hours = [every * n for n in range(1, int(hold_h / every) + 1)] if every else []
    daily = [DAY_H * n for n in range(1, int(hold_h / DAY_H) + 1)] if siphon else []
    fitted = {h: clock.fit(h) for h in {*hours, *daily}}
    if any(h is None for h in fitted.values()):
        raise BadInput("hours", "", "leave nobody there for a change beside it.")
    if not hours and not daily and feed == 1.0:
        return None
    at = {h: there for h, there in fitted.items() if there is not None}
    return Shape(
        changes=tuple(Changed(at[h], extra.share) for h in hours),
        siphons=tuple(sorted({at[h] for h in daily})),
        feed=feed,
        end_h=max([hold_h, *at.values()]),
    )


def nobody_there(here: Setting) -> Reason | None:
    """Where the keeper is away on all of the next days."""
    if here.clocks:
        return None
    said = here.wishes.hours.said if here.wishes.hours else ""
    return Reason(
        kind="not-at-home",
        because=f"In the next {STARTS} days nobody is there ({said}).",
        would_change="one hour at home by then, or somebody who begins it",
    )


def against_wishes(option: Option, here: Setting) -> Reason | None:
    """What the keeper does not want; None where nothing speaks against it."""
    wishes, facts = here.wishes, here.facts
    medicine = option.kind == "substance" and is_medicine(option.substance, facts)
    if medicine and not wishes.medicine:
        return Reason(kind="no-medicine", because="You want no medicine.", would_change="a medicine")
    place = "tub" if option.remedy == FISH_OUT else option.place
    if wishes.place and place in ("tank", "tub") and place != wishes.place:
        where = "the tank" if place == "tank" else "a tub"
        known = facts.substances.get(option.substance)
        name = known.names[0] if known else facts.remedies[option.remedy].name
        name = f"{name[:1].upper()}{name[1:]}"
        return Reason(kind="place", because=f"{name} is for {where}.", would_change=where)
    if wishes.on_shelf and option.route not in ("", "heat") and option.shelf is None:
        name = facts.substances[option.substance].names[0]
        return Reason(kind="not-on-shelf", because=f"No {name} is on the shelf.", would_change=f"get {name}")
    return _spared(option, here) if wishes.spare else None


def _spared(option: Option, here: Setting) -> Reason | None:
    """Nothing that may hurt those who are to be spared: what nobody has measured may."""
    for verdict in option.bears:
        limit = verdict.limit
        named = {limit.stock, limit.who.lower(), limit.animal, limit.group, limit.kind_of}
        if named & {w.lower() for w in here.wishes.spare} and verdict.says != "bears":
            return Reason(
                kind="may-hurt", because=verdict.because, would_change=verdict.would_change, who=(limit.who,),
                source=limit.source, status=verdict.status,
            )  # fmt: skip
    return None


__all__ = ["Setting", "Ways", "against_wishes", "setting", "way_of", "ways_of"]
