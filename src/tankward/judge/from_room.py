"""Evidence from the logbook: the looks of the last week, and what was done, moved, bought and dosed
before.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.acts import Change, Clean, Dose, Move
from tankward.room.entries.animals import Death, StockAdded
from tankward.room.entries.looks import Look
from tankward.room.entries.tanks import TankAdded
from tankward.room.replay import Room
from tankward.room.time import hours_between

from .breathing import SIGN as FAST_GILLS
from .breathing import breathing
from .counted import trend_of
from .evidence import Evidence, Happened
from .living_evidence import gravid_livebearers, hosts, of_stock, sex_unknown
from .logbook_evidence import of_logbook
from .neighbours import ill_tanks, of_neighbours
from .phrases import substance_marks
from .under_lens import counted, outcomes

LOOKS_D = 7.0  # a sign seen longer ago says nothing of today (common-practice)
PAST_D = 180.0
A_CHANGE = 0.1  # under a tenth of the tank new water does not count
HOURS_IN_DAY = 24.0


def room_evidence(room: Room, tank_id: str, facts: Facts, now: datetime) -> Evidence:
    """What the room knows of a tank when somebody asks what it may be; its other tanks count too.

    Parameters
    ----------
    room : Room
        The room after replay.
    tank_id : str
        The tank.
    facts : Facts
        The facts.
    now : datetime
        The instant of the question, with its zone.

    Returns
    -------
    Evidence
        Of each sign the newest statement within a week counts. What happened comes from the entries, from
        what was said with a look, and from the other tanks: a catching disease next door is a fact of this.
    """
    own = own_evidence(room, tank_id, facts, now)
    told = {other: own_evidence(room, other, facts, now) for other in ill_tanks(room, tank_id, now)}
    near = tuple(of_neighbours(room, tank_id, told, facts, now))
    return msgspec.structs.replace(own, happened=(*own.happened, *near)) if near else own


def own_evidence(room: Room, tank_id: str, facts: Facts, now: datetime) -> Evidence:
    """The same by this tank's entries alone."""
    looks = [x for x in room.looks(tank_id) if 0.0 <= _days(x.at, now) <= LOOKS_D]
    stock = room.stock_of(tank_id)
    said: dict[str, str] = {}
    for look in looks:
        said |= stated(look, facts)
    told = [h for look in looks for h in _told(look, now)]
    done = list(_done(room, tank_id, facts, now))
    return Evidence(
        seen=tuple(s for s, how in said.items() if how == "seen"),
        absent=tuple(s for s, how in said.items() if how == "absent"),
        unsure=tuple(s for s, how in said.items() if how == "unsure"),
        onset=next((x.onset for x in reversed(looks) if x.onset), ""),
        share=next((x.share for x in reversed(looks) if x.share), "") or _share(looks),
        trend=trend_of(room, tank_id, looks),
        tests=outcomes(counted(looks, facts), facts),
        hosts=hosts(stock, facts),
        happened=(*told, *done, *of_stock(stock, facts), *of_logbook(room, tank_id, facts, now)),
        vent_looked_at=any("worms_at_vent" in x.absent for x in looks),
        gravid_livebearers=gravid_livebearers(stock, facts),
        sex_unknown=sex_unknown(stock, facts),
    )


def stated(look: Look, facts: Facts) -> dict[str, str]:
    """What one look says of each sign; the belly score, the appetite and counted gill beats are signs too."""
    said = dict.fromkeys(look.unsure, "unsure") | dict.fromkeys(look.absent, "absent")
    said |= dict.fromkeys(look.seen, "seen") | {s: "seen" for s, n in look.counts.items() if n > 0}
    for sign, number in look.parasites.items():
        said.setdefault(sign, "seen" if number > 0 else "absent")
    if look.belly is not None:
        said.setdefault("belly_sunken", "seen" if look.belly <= THIN_BELLY else "absent")
    if look.eating in ("yes", "no"):
        said.setdefault("no_appetite", "seen" if look.eating == "no" else "absent")
    if counted := breathing(look.gill_beats_per_min, look.gill_beats_well_per_min, facts).sign:
        said.setdefault(FAST_GILLS, counted)
    return said


# Stock entered with its tank was there already; entered later, it came.
SETTLING_D = 2.0
THIN_BELLY = 2  # belly score of a wasted fish, of 1 to 5 (common-practice)


def share_of(looked_at: float | None, counts: Mapping[str, float]) -> str:
    """One, some or most of those looked at, by the sign that most of them show; "" where none was counted."""
    ill = max(counts.values(), default=0.0)
    if not looked_at or ill <= 0.0:
        return ""
    return "one" if ill <= 1 else "some" if ill < looked_at / 2 else "most"


def _share(looks: list[Look]) -> str:
    """The same from the newest look that has counts."""
    return next((s for look in reversed(looks) if (s := share_of(look.looked_at, look.counts))), "")


def _told(look: Look, now: datetime) -> Iterator[Happened]:
    """The history given with a look; its days count back from the look. "dose:unknown actives"
    names the kind.
    """
    for key, days in look.history.items():
        context, _, of = key.partition(":")
        age = None if days is None else days + _days(look.at, now)
        yield Happened(context=context, age_d=age, of=(of,) if of else ())


def _done(room: Room, tank_id: str, facts: Facts, now: datetime) -> Iterator[Happened]:
    yield from _acts(room, tank_id, facts, now)
    yield from _moves_in(room, tank_id, now)
    entries = room.of_tank(tank_id)
    first = _days(entries[0].at, now) if entries else 0.0
    for entry in entries:
        age = _days(entry.at, now)
        if not 0.0 <= age <= PAST_D:
            continue
        if isinstance(entry, StockAdded) and entry.thing.arrived_d is None and first - age > SETTLING_D:
            kind = ("plants",) if entry.thing.kind in facts.plants else ()
            yield Happened(context="arrival", age_d=age, of=kind)
        elif isinstance(entry, Death) and entry.taken_out is False:
            yield Happened(context="death_left", age_d=age)
        elif isinstance(entry, TankAdded) and entry.thing.filter_age_d is not None:
            yield Happened(context="tank_age", age_d=entry.thing.filter_age_d + age)


def _acts(room: Room, tank_id: str, facts: Facts, now: datetime) -> Iterator[Happened]:
    for at, act in room.acts(tank_id):
        age = _days(at, now)
        if not 0.0 <= age <= PAST_D:
            continue
        if isinstance(act, Dose):
            known = tuple(s for s in act.actives if s in facts.substances)
            of = substance_marks(known, facts) if known else ("unknown actives",)
            yield Happened(context="dose", age_d=age, of=of)
        elif isinstance(act, Change) and act.share >= A_CHANGE:
            yield Happened(context="water_change", age_d=age)
            if act.dechlorinated is False:
                yield Happened(context="tap_untreated", age_d=age)
        elif isinstance(act, Clean) and act.what == "filter":
            yield Happened(context="filter_upset", age_d=age)


def _moves_in(room: Room, tank_id: str, now: datetime) -> Iterator[Happened]:
    """Animals moved here from another tank: an arrival, and handled."""
    for other in room.tanks:
        for at, act in room.acts(other):
            age = _days(at, now)
            if isinstance(act, Move) and act.to == tank_id and 0.0 <= age <= PAST_D:
                yield Happened(context="arrival", age_d=age)
                yield Happened(context="handling", age_d=age)


def _days(at: datetime, now: datetime) -> float:
    return hours_between(at, now) / HOURS_IN_DAY
