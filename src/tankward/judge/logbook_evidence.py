"""What the logbook tells of the past without being asked: falls of warmth, courses that changed nothing,
bites and wounds seen, newcomers that died, cleaning left out, the same disease before.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from itertools import pairwise

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.acts import Change, Feed
from tankward.room.entries.acts import CourseBegun
from tankward.room.entries.animals import Death, StockAdded
from tankward.room.entries.looks import Look
from tankward.room.replay import Room
from tankward.room.time import hours_between
from tankward.room.treated import Treated, treated

from .evidence import Happened
from .phrases import substance_marks

FALL_C = 3.0  # of the context "temp_fall"
FALL_H = 24.0
NO_CHANGE_D = 21.0  # of the context "dirt"
FED_TOO_MUCH = 1.5  # of the usual ration (common-practice)
PAST_D = 180.0
ANSWERS_AFTER_D = 5.0  # of the context "treatment_failed"
OVER_D = 10.0  # days after which a course is of the past (common-practice)
HELPED, CHANGED_NOTHING = ("cleared", "better"), ("no_change", "worse")  # how a course ended, as it was told
FEW_CAUSES = 3  # a medicine against more than that speaks for none of them [our own choice]
NEW_D = 60.0  # who came later than this is a newcomer (common-practice)
BITES, WOUNDS = frozenset({"biting_seen"}), frozenset({"scale_loss", "ulcer"})
HOURS_IN_DAY = 24.0


def of_logbook(room: Room, tank: str, facts: Facts, now: datetime) -> Iterator[Happened]:
    """Dated facts that follow from entries taken together.

    Parameters
    ----------
    room : Room
        The room after replay.
    tank : str
        The tank.
    facts : Facts
        Names of substances and their kinds.
    now : datetime
        The instant of the question.
    """
    yield from _colder(room, tank, now)
    yield from _skipped_cleaning(room, tank, now)
    yield from _overfed(room, tank, now)
    yield from _courses(room, tank, facts, now)
    yield from _skin(room, tank, now)
    yield from _newcomers(room, tank, now)


def _days(at: datetime, now: datetime) -> float:
    return hours_between(at, now) / HOURS_IN_DAY


def _colder(room: Room, tank: str, now: datetime) -> Iterator[Happened]:
    """Two readings within a day, the later at least 3 °C colder."""
    warm = [(e.at, r.value) for e in room.readings(tank) for r in e.values if r.quantity == "temp_c"]
    warm = sorted(w for w in warm if 0.0 <= _days(w[0], now) <= PAST_D)
    for (before, was), (after, is_) in pairwise(warm):
        if hours_between(before, after) <= FALL_H and was - is_ >= FALL_C:
            yield Happened(context="temp_fall", age_d=_days(after, now), value=was - is_)


def _skipped_cleaning(room: Room, tank: str, now: datetime) -> Iterator[Happened]:
    """No change entered for three weeks, in a tank whose changes are entered."""
    changes = [at for at, act in room.acts(tank) if isinstance(act, Change) and at <= now]
    if changes and _days(max(changes), now) > NO_CHANGE_D:
        yield Happened(context="dirt")


def _overfed(room: Room, tank: str, now: datetime) -> Iterator[Happened]:
    for at, act in room.acts(tank):
        if isinstance(act, Feed) and act.usual >= FED_TOO_MUCH and 0.0 <= _days(at, now) <= PAST_D:
            yield Happened(context="overfed", age_d=_days(at, now))


def _courses(room: Room, tank: str, facts: Facts, now: datetime) -> Iterator[Happened]:
    """Treated for it before; and of a course that is over, whether it changed anything: as its end was told,
    else whether the same signs were seen after it.
    """
    looks = room.looks(tank)
    for one in treated(room, tank):
        begun = one.begun
        if not 0.0 <= _days(begun.at, now) <= PAST_D:
            continue
        told = _as_it_stood(one, now)
        end = _end(told)
        causes = _spoken_for(told, facts)
        if causes and _over(begun, end, now):
            yield Happened(context="had_before", age_d=_days(end or begun.at, now), of=causes)
        if begun.substance in facts.substances and (since := _failed(told, end, looks, now)) is not None:
            marks = substance_marks((begun.substance,), facts)
            yield Happened(context="treatment_failed", age_d=_days(since, now), of=marks)


def _as_it_stood(one: Treated, now: datetime) -> Treated:
    """Without an end that was told later than now."""
    later = one.closed is not None and one.closed.at > now
    return msgspec.structs.replace(one, closed=None) if later else one


def _spoken_for(one: Treated, facts: Facts) -> tuple[str, ...]:
    """The causes for which a course speaks: what the keeper believes it was, else what it was begun against.

    A course that cleared it speaks for its cause: where none was named, for what its substance is given
    against, if that is not nearly everything. One that changed nothing speaks for no cause of its own.
    """
    if one.outcome in CHANGED_NOTHING:
        return (one.closed.cause,) if one.closed and one.closed.cause else ()
    if one.cause:
        return (one.cause,)
    if one.outcome not in HELPED or one.begun.substance not in facts.substances:
        return ()
    rows = facts.substances[one.begun.substance].regimen
    treats = dict.fromkeys(c for r in rows if r.route == one.begun.route for c in r.treats)
    return tuple(treats) if len(treats) <= FEW_CAUSES else ()


def _failed(one: Treated, end: datetime | None, looks: Sequence[Look], now: datetime) -> datetime | None:
    """When a course that changed nothing was over; None where that is not known, or it changed something."""
    if one.closed is not None and one.outcome in CHANGED_NOTHING and one.stopped_at is None:
        return one.closed.at
    if one.outcome in HELPED or end is None:
        return None
    return end if _unchanged(one.begun.at, end, looks, now) else None


def _end(one: Treated) -> datetime | None:
    """When its last step was due. None: it was stopped before, which says nothing of the medicine."""
    begun = one.begun
    last = max((s.at for s in begun.steps), default=begun.at)
    stop = one.stopped.at if one.stopped else None
    return None if stop is not None and begun.at <= stop < last else last


def _over(begun: CourseBegun, end: datetime | None, now: datetime) -> bool:
    """Whether it is long enough over that what is seen today did not call for it."""
    return _days(end or begun.at, now) > OVER_D


def _unchanged(begun: datetime, end: datetime, looks: Sequence[Look], now: datetime) -> bool:
    """Whether a sign of before the course was seen again once it should have worked."""
    before = _seen(k for k in looks if k.at <= begun and _days(k.at, begun) <= NO_CHANGE_D)
    after = _seen(k for k in looks if k.at <= now and _days(end, k.at) >= ANSWERS_AFTER_D)
    return bool(before & after)


def _seen(looks: Iterable[Look]) -> set[str]:
    return {sign for look in looks for sign in look.seen}


def _skin(room: Room, tank: str, now: datetime) -> Iterator[Happened]:
    for look in room.looks(tank):
        age = _days(look.at, now)
        of = (("bite",) if BITES & set(look.seen) else ()) + (("wound",) if WOUNDS & set(look.seen) else ())
        if of and 0.5 <= age <= PAST_D:  # what this look itself saw is a sign, not the past
            yield Happened(context="wound", age_d=age, of=of)


def _newcomers(room: Room, tank: str, now: datetime) -> Iterator[Happened]:
    """At least two lots that came within two months lost some, and none of the others did."""
    entries = room.of_tank(tank)
    came = {e.thing.id: _days(e.at, now) for e in entries if isinstance(e, StockAdded)}
    new = {s for s, age in came.items() if 0.0 <= age <= NEW_D}
    lost = {e.stock for e in entries if isinstance(e, Death) and e.stock and 0.0 <= _days(e.at, now) <= NEW_D}
    if len(lost & new) >= 2 and not lost - new and set(came) - new:
        yield Happened(context="newcomers_die")
