"""A tank wound down: gathered from the logbook, its amounts by litre, and what is written of it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.keeping import Disinfection, Rule
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.quantities.parse import Estimate, is_unknown, quantity
from tankward.quantities.working import Answer
from tankward.room.acts import Dose
from tankward.room.holds import water_of
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.rounds.closing import Closing, Home, Leaving, closing
from tankward.rounds.hold import UNKNOWN
from tankward.treat.amounts.net_bath import NetPlan, net_plan
from tankward.treat.course.request import left_in
from tankward.treat.medicine import is_medicine

from .border import Border, Written
from .calculations import CALCULATIONS
from .contact import Contacts, contacts_of
from .find import find_stock, find_tank

KEYS = ("strength", "volume", "stock", "goes", "number", "when", "note")
USUAL_STRENGTH = "5 %"
AWAY = ("sold", "given")
GOES = (*AWAY, "ended", "dead", "other")
TOOLS, WHOLE = "bleach_tools", "tank_bleach"
FULL_STRENGTH_MG_L = 1.0


class Left(msgspec.Struct, frozen=True, kw_only=True):
    """A medicine that may still be in the water, what is done with it, whether carbon takes it."""

    substance: str
    name: str
    level: Estimate | None  # in its own unit; None: the litres are not known
    carbon_h: tuple[float, float] | None  # how fast carbon halves it; None: it is not known to take it
    text: str
    source: str
    status: str


class Winding(msgspec.Struct, frozen=True, kw_only=True):
    """All of it."""

    tank: Tank
    contacts: Contacts
    closing: Closing
    volume: Answer
    left: tuple[Left, ...]
    given: tuple[str, ...]  # medicines that were dosed in the last half year and may have faded since
    carbon: Rule
    carbon_g: tuple[float, float] | None
    bleach: Answer | None  # None: the litres are not known
    filled_l: float | None  # the tank filled for it
    hours: float  # how long the bleach stands
    bath: Disinfection
    net: NetPlan
    strength: str
    strength_known: bool


def winding_of(
    room: Room, tank: str, typed: Mapping[str, str], now: datetime, zone: str, facts: Facts
) -> Winding:
    """What closing a tank takes.

    Parameters
    ----------
    room : Room
        As it stands.
    tank : str
        Id of the tank.
    typed : mapping
        `strength`: of the keeper's bleach; `volume`: of the tank filled for it, where it is not its water.
    now : datetime
        The moment.
    zone : str
        Of the keeper's wall clock.
    facts : Facts
        The facts.

    Raises
    ------
    BadInput
        If a number can't be read.
    """
    told = {k: v.strip() for k, v in typed.items() if v.strip() and not is_unknown(v)}
    met = contacts_of(room, tank, now, zone, facts)
    found = closing(room, tank, met.hold, met.episode, met.reach.causes, met.reach, now, zone, facts)
    water = water_of(room.tanks[tank], room)
    volume = told.get("volume") or (f"{water.value} L" if water.value is not None else "")
    bath = next(d for d in facts.hygiene.disinfection if d.id == (WHOLE if found.mycobacteria else TOOLS))
    strength = told.get("strength", USUAL_STRENGTH)
    carbon = next(r for r in facts.hygiene.carbon if r.id == "dose")
    left = tuple(_left(room, tank, now, facts))
    return Winding(
        tank=room.tanks[tank], contacts=met, closing=found, volume=water, left=left,
        given=tuple(_given(room, tank, now, facts, {x.substance for x in left})), carbon=carbon,
        carbon_g=_carbon_g(carbon, water.value),
        bleach=_bleach(strength, bath, volume, room) if volume else None,
        filled_l=quantity(volume, "volume", "volume", room.kit.taste).value if volume else None,
        hours=float(bath.minutes or 0.0) / 60.0, bath=bath,
        net=net_plan(found.germ, facts, FULL_STRENGTH_MG_L),
        strength=strength, strength_known="strength" in told,
    )  # fmt: skip


def _bleach(strength: str, bath: Disinfection, volume: str, room: Room) -> Answer:
    typed = {"strength": strength, "target": f"{bath.strength:g} mg/L", "volume": volume}
    return CALCULATIONS["bleach"].run(typed, room.kit.taste)


def _carbon_g(rule: Rule, volume_l: float | None) -> tuple[float, float] | None:
    if volume_l is None or rule.low is None or rule.high is None:
        return None
    return rule.low * volume_l, rule.high * volume_l


def _given(room: Room, tank: str, now: datetime, facts: Facts, but: set[str]) -> list[str]:
    """Medicines of half a year that are no longer told as being there."""
    acts = (act for at, act in room.acts(tank) if isinstance(act, Dose) and now - UNKNOWN <= at <= now)
    found = dict.fromkeys(s for act in acts for s in act.actives)
    return [facts.substances[s].names[0] for s in found if is_medicine(s, facts) and s not in but]


def _left(room: Room, tank: str, now: datetime, facts: Facts) -> list[Left]:
    """Medicines of the last weeks; where the litres are not known, all that were ever dosed and may be."""
    there: dict[str, Estimate | None] = dict(left_in(room, tank, facts, now))
    if water_of(room.tanks[tank], room).value is None:
        given = (act for at, act in room.acts(tank) if isinstance(act, Dose) and at <= now)
        there = dict.fromkeys(s for act in given for s in act.actives)
    rows = []
    for substance, level in there.items():
        if not is_medicine(substance, facts) or (level is not None and level.high <= 0.0):
            continue
        one = facts.substances[substance]
        taken = one.loss.carbon if one.loss is not None else None
        rows.append(
            Left(
                substance=substance, name=one.names[0], level=level,
                carbon_h=(taken.low, taken.high) if taken is not None else None,
                text=one.disposal.text, source=one.disposal.source, status=one.disposal.status,
            )
        )  # fmt: skip
    return rows


def leave(border: Border, tank: str, typed: Mapping[str, str]) -> Written:
    """Animals of a tank that is wound down: sold, given, ended, or to another tank.

    Parameters
    ----------
    border : Border
        The room and the moment.
    tank : str
        Id of the tank.
    typed : mapping
        `stock`, `goes` (sold, given, ended, dead, other or a tank), `number`, `when`, `note`.

    Raises
    ------
    BadInput
        If it names nobody, or nowhere.
    Refused
        If they are on hold and would be sold or given, or would meet animals that have not met the same.
    """
    room = border.room
    goes = typed.get("goes", "").strip()
    if not goes:
        raise BadInput("goes", "", f"is missing. Write one of {', '.join(GOES)}, or a tank.")
    stock = find_stock(room, tank, typed.get("stock", ""))
    found = winding_of(room, tank, {}, border.now, border.zone, border.facts).closing
    one = next((g for g in found.groups if g.stock.id == stock.id), None)
    if one is None:
        raise BadInput("stock", stock.name, "has nobody left in this tank.")
    shared = {k: typed[k] for k in ("when", "note") if typed.get(k, "").strip()}
    number = typed.get("number", "").strip()
    if goes.lower() in GOES:
        if goes.lower() in AWAY:
            _may_go(found, one, room)
        many = number or f"{stock.number.value:g}"
        texts = {"stock": stock.id, "number": many, "why": goes.lower(), **shared}
        return border.log("remove", tank, texts)
    there = find_tank(room, goes, "goes").id
    _may_move(found, one, there, room)
    texts = {"stock": stock.id, "to": there, **shared, **({"number": number} if number else {})}
    return border.log("move", tank, texts)


HELD_BECAUSE = {
    "course": "a course runs in {name}",
    "not-over": "a course in {name} did not clear it",
    "unknown": "nobody knows what was in {name}",
    "signs": "signs were seen in {name}, and nobody knows what it is",
    "for-life": "survivors in {name} may carry it for life",
    "carried": "survivors in {name} may still carry it",
    "met": "{name} met a tank that was ill",
    "newcomers": "the days apart of the newcomers in {name} are not over",
}


def _may_go(found: Closing, one: Leaving, room: Room) -> None:
    if found.hold is None:
        return
    name = room.tanks[found.tank].name
    why = HELD_BECAUSE[found.hold.why].format(name=name)
    until = f"wait until {found.hold.until:%d %b %Y}, or " if found.hold.until else ""
    raise Refused(
        Reason(
            kind="held", because=f"{one.stock.name} are neither sold nor given: {why}",
            would_change=f"{until}keep them: {_homes_said(one, room)}", who=(one.stock.name,),
        )
    )  # fmt: skip


def _homes_said(one: Leaving, room: Room) -> str:
    names = [room.tanks[h.tank].name for h in one.homes if h.why != "well"]
    return " or ".join(names) if names else "a tub of their own"


def _may_move(found: Closing, one: Leaving, there: str, room: Room) -> None:
    """Those on hold meet nobody who has not met the same; what nobody can name meets nobody."""
    lives = [s for s in room.stock_of(there) if s.id != one.stock.id]
    name = room.tanks[there].name
    if one.kind == "unknown" and lives:
        because = f"nobody knows what {one.stock.name} are, nor which water they bear"
        change = "say what they are first, or a tub of their own"
        raise Refused(Reason(kind="unknown-animal", because=because, would_change=change))
    home: Home | None = next((h for h in one.homes if h.tank == there), None)
    if home is None and lives and one.kind != "unknown":
        why = (
            "a course runs there"
            if there in room.courses
            else "those in it have not met what these may carry"
        )
        change = f"{_homes_said(one, room)}, {one.apart_d:g} days apart"
        because = f"{one.stock.name} don't go into {name}: {why}"
        raise Refused(Reason(kind="not-exposed", because=because, would_change=change))


def close(border: Border, tank: str, typed: Mapping[str, str]) -> Written:
    """The record closed; its entries stay.

    Raises
    ------
    Refused
        While animals are written down in it.
    """
    room = border.room
    here = [s for s in room.stock_of(tank) if s.kind not in border.facts.plants]
    if here:
        who = ", ".join(s.name for s in here)
        because = f"{who} still live in {room.tanks[tank].name}"
        change = "write down where each went first"
        raise Refused(Reason(kind="still-lives", because=because, would_change=change))
    texts = {"why": typed.get("note", "").strip() or "wound down"}
    if typed.get("when", "").strip():
        texts["when"] = typed["when"]
    return border.log("tank_closed", tank, texts)
