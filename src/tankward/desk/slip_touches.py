"""Slips told to the end by one touch: what each touch stands for, with what it would write down."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from tankward.knowledge.known import Facts
from tankward.quantities.digits import plain_number
from tankward.room.acts import Change, Dose
from tankward.room.entries.acts import Done
from tankward.room.replay import Room
from tankward.treat.mend.touch import Touch
from tankward.treat.mend.uneaten import last_meal

from .running import running
from .slips import AS_WRITTEN, NEW, NOTHING, in_since, open_steps, recent_changes, recent_doses

# How a wrong unit, spoon or packet comes out, as a factor of what is written down. A US tablespoon is three
# teaspoons, a teaspoon about 5 mL, an imperial gallon 1.2 US gallons: definitions.
MORE: tuple[tuple[str, float], ...] = (
    ("ten", 10.0), ("tablespoon", 3.0), ("teaspoon-ml", 5.0), ("imperial", 1.2), ("gram", 1000.0),
)  # fmt: skip
LESS: tuple[tuple[str, float], ...] = (
    ("half", 0.5), ("quarter", 0.25), ("tenth", 0.1), ("teaspoon", 1.0 / 3.0), ("us", 1.0 / 1.2),
)  # fmt: skip
MOST_GRAMS = 500.0  # more of a medicine in one tank is no slip of a unit [our own choice]
SHARES = ("25 %", "50 %", "75 %")
LARGE = ("66 %", "75 %", "95 %")
CUTS = ("still", "1 h", "3 h", "8 h")
ASTRAY_C = (2.0, 4.0, 6.0)
NEW_ASTRAY_C = (5.0, 10.0)
POURED = ("g", "mL", "ml", "drop", "drops")  # a whole one of these is no packet
STEPS = 3  # of a course, offered at once
MOST_KINDS = 4
USUAL_C = 25.0


def touches(room: Room, tank: str, now: datetime, zone: str, facts: Facts) -> tuple[Touch, ...]:
    """Every touch that tells a slip of a tank to the end, the likeliest of each slip first.

    Parameters
    ----------
    room : Room
        The logbook, replayed.
    tank : str
        Its id.
    now : datetime
        With zone.
    zone : str
        Of the keeper's wall clock.
    facts : Facts
        What is a medicine, and what a plant.
    """
    return (
        *_doses(room, tank, now, facts),
        *_wrong_tanks(room, tank, now, facts),
        *_steps(room, tank, now, zone, facts),
        *_carbon(room, tank, now, facts),
        *_water(room, tank, now),
        *_power(),
        *_warmth(room, tank, now),
        *_newcomers(room, tank, facts),
        *_food(room, tank, now),
    )


def of_slip(found: tuple[Touch, ...], slip: str) -> tuple[Touch, ...]:
    """Those that tell one slip."""
    return tuple(t for t in found if t.slip == slip)


def _doses(room: Room, tank: str, now: datetime, facts: Facts) -> Iterator[Touch]:
    """Of the last dose: twice, more, less, or just as it says."""
    dose = next(iter(recent_doses(room, tank, now, facts)), None)
    if dose is None:
        return
    yield Touch(slip="too-much", kind="twice", dose=dose, texts={"dose": dose.id, "how": "twice"})
    yield Touch(slip="too-much", kind="as-written", dose=dose, texts={"dose": dose.id, "how": AS_WRITTEN})
    for kind, factor in (*_whole(dose, room), *MORE):
        if _could_be(dose, factor):
            yield _times("too-much", kind, dose, factor)
    for kind, factor in LESS:
        yield _times("too-little", kind, dose, factor)
    yield Touch(
        slip="too-little", kind="nothing", dose=dose, texts={"dose": dose.id, "amount": NOTHING}, value=0.0
    )


def _times(slip: str, kind: str, dose: Done, factor: float) -> Touch:
    texts = {"dose": dose.id, "how": "more", "amount": f"{plain_number(factor, 0.0001)} times"}
    return Touch(slip=slip, kind=kind, dose=dose, texts=texts, value=factor)


def _whole(dose: Done, room: Room) -> tuple[tuple[str, float], ...]:
    """ "One per 40 L" taken as one per tank: a whole packet where a part of one was meant."""
    act = dose.act
    assert isinstance(act, Dose)
    packet = room.shelf.get(act.supply)
    counted = packet is not None and packet.unit not in POURED
    part = counted and act.units is not None and 0.0 < act.units < 1.0
    return (("whole", 1.0 / act.units),) if part and act.units else ()


def _could_be(dose: Done, factor: float) -> bool:
    act = dose.act
    assert isinstance(act, Dose)
    return sum(act.actives.values()) * factor <= MOST_GRAMS * 1000.0


def _wrong_tanks(room: Room, tank: str, now: datetime, facts: Facts) -> Iterator[Touch]:
    """The last dose of this tank went into another; or the last of another went in here."""
    mine = next(iter(recent_doses(room, tank, now, facts)), None)
    others = sorted((t for t in room.tanks.values() if t.id != tank), key=lambda t: t.place)
    if mine is not None:
        for other in others:
            yield Touch(
                slip="wrong-tank", kind="went-there", dose=mine, tank=other.id,
                texts={"dose": mine.id, "into": other.id},
            )  # fmt: skip
    for other in others:
        theirs = next(iter(recent_doses(room, other.id, now, facts)), None)
        if theirs is not None:
            yield Touch(
                slip="wrong-tank", kind="came-here", dose=theirs, tank=other.id,
                texts={"dose": theirs.id, "into": tank},
            )  # fmt: skip


def _steps(room: Room, tank: str, now: datetime, zone: str, facts: Facts) -> Iterator[Touch]:
    """Steps of the course: not given yet, given late just now, left out."""
    found = open_steps(room, tank, now, zone, facts)
    run = running(room, tank, now, zone, facts)
    for step in found[:STEPS]:
        for how in ("not-yet", "late", "leave"):
            yield Touch(slip="forgot-one", kind=how, step=step, texts={"step": step.id, "how": how})
    open_changes = [s.step for s in run.open if isinstance(s.step.act, Change)] if run else []
    late = [s for s in open_changes if s.at <= now]
    for step in late[:1]:
        for how in ("not-yet", "late", "leave"):
            yield Touch(slip="no-change", kind=how, step=step, texts={"step": step.id, "how": how})
    if not late:
        yield Touch(slip="no-change", kind="not-yet", texts={})


def _carbon(room: Room, tank: str, now: datetime, facts: Facts) -> Iterator[Touch]:
    """Still in, or out just now; since when the log says, else since the last dose."""
    medium = "activated_carbon"
    since = in_since(room, tank, medium, now)
    dose = next(iter(recent_doses(room, tank, now, facts)), None)
    for out in ("no", "yes"):
        yield Touch(
            slip="carbon-in", kind=f"out-{out}", texts={"medium": medium, "out": out},
            since=since, dose=None if since else dose,
        )  # fmt: skip


def _water(room: Room, tank: str, now: datetime) -> Iterator[Touch]:
    """Changes: untreated, too large, too cold, too warm; and water that ran out."""
    change = next(iter(recent_changes(room, tank, now)), None)
    which = {"change": change.id} if change else {"change": NEW}
    if change is not None:
        yield Touch(slip="untreated-tap", kind="that-change", change=change, texts=which)
    for share in SHARES:
        if change is None:
            yield Touch(slip="untreated-tap", kind="share", texts={"share": share}, value=_of(share))
        yield Touch(slip="little-water", kind="share", texts={"share": share}, value=_of(share))
    for share in LARGE:
        texts = {**which, "share": share}
        yield Touch(slip="big-change", kind="share", change=change, texts=texts, value=_of(share))
    home = room.tanks[tank].temp_c
    warm = home.value if home else USUAL_C
    half = {} if change else {"share": "50 %"}
    for slip, sign in (("too-cold", -1.0), ("too-warm", 1.0)):
        for apart in NEW_ASTRAY_C:
            texts = {**which, **half, "new-temp": f"{warm + sign * apart:g} C"}
            yield Touch(slip=slip, kind="new-water", change=change, texts=texts, value=apart)


def _of(share: str) -> float:
    return float(share.removesuffix(" %")) / 100.0


def _power() -> Iterator[Touch]:
    for off in ("all", "filter"):
        for hours in CUTS:
            yield Touch(slip="no-flow", kind=off, texts={"off": off, "hours": hours})


def _warmth(room: Room, tank: str, now: datetime) -> Iterator[Touch]:
    """By the heater: the thermometer two, four, six degrees off."""
    home = room.tanks[tank].temp_c
    if home is None:
        yield Touch(slip="too-warm", kind="not-known", texts={"heater": "stuck"})
        yield Touch(slip="too-cold", kind="not-known", texts={"heater": "off"})
        return
    for slip, sign in (("too-warm", 1.0), ("too-cold", -1.0)):
        for apart in ASTRAY_C:
            now_c = home.value + sign * apart
            yield Touch(slip=slip, kind="heater", texts={"temp": f"{now_c:g} C"}, value=now_c)


def _newcomers(room: Room, tank: str, facts: Facts) -> Iterator[Touch]:
    """One more of a kind that lives here, or one that nobody has named yet."""
    animals = [s for s in room.stock_of(tank) if s.kind and s.kind not in facts.plants][:MOST_KINDS]
    for one in animals:
        texts = {"kind": one.kind, "number": "1", "name": f"new {one.name}"}
        yield Touch(slip="newcomer", kind="same", texts=texts, stock=one)
    yield Touch(slip="newcomer", kind="other", texts={"kind": "unknown", "number": "1", "name": "newcomer"})


def _food(room: Room, tank: str, now: datetime) -> Iterator[Touch]:
    known = last_meal(room, tank, now) is not None
    yield Touch(slip="not-eaten", kind="all" if known else "note", texts={"eaten": "nothing", "left": "no"})
    if known:
        yield Touch(slip="not-eaten", kind="half", texts={"eaten": "half", "left": "no"})
        yield Touch(slip="not-eaten", kind="lies-there", texts={"eaten": "nothing", "left": "yes"})
