"""Newcomers put apart: where each source goes, how its water is kept, the days, what such fish carry."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from math import ceil

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.quantities.parse import Estimate, Taste, is_unknown, quantity
from tankward.quantities.working import Answer, Step, Working
from tankward.room.holds import water_of
from tankward.room.replay import Room
from tankward.room.things import Stock
from tankward.room.time import day_of, moment, not_future
from tankward.rounds.carries import Common, commonly
from tankward.rounds.newcomers import Apart, NewcomerLook, looks_of, newcomers_in, rule_for, worms_d
from tankward.rounds.watch import warmth
from tankward.treat.husbandry.tub import HALF, WAITS_D, TubPlan, tub_plan
from tankward.water.nitrogen import TAN_PER_PROTEIN

from .border import Border, Written
from .find import find_tank
from .said import animals
from .tub import tub_wanted

WATER = ("food", "protein", "ph", "temp", "volume", "fish")
KEYS = ("animals", "source", "into", "when", *WATER)
LEAST_FED = "1 %"
UP_TO_THE_RISE = ("food a day", "ammonia made", "poisonous share", "in this water")
USUAL_TUB_L = 15.0  # a smaller one swings too fast for a month [common practice, no source]
MOST_SOURCES = 12


class Fed(msgspec.Struct, frozen=True, kw_only=True):
    """One ration: what it makes of the water, and how rarely half may be changed."""

    food: float
    plan: TubPlan
    answer: Answer
    how: tuple[Step, ...]
    least_l: float  # a tub that holds the bound with half changed each day, counted on the heavy end
    wait_days: float  # the longest that likely holds the bound
    nh3_n_mg_l: float  # its poisonous part just before such a change
    days_to_bound: float | None  # with no change at all

    @property
    def holds(self) -> bool:
        return self.nh3_n_mg_l <= self.plan.bound_mg_l


class Arrival(msgspec.Struct, frozen=True, kw_only=True):
    """What came from one source, and where it goes. `tank` "": into a tub of its own."""

    source: str
    stock: tuple[Stock, ...]
    tank: str
    with_: Apart | None  # newcomers of the same source that are in there: all their days begin anew
    temp_c: Estimate | None
    fed: tuple[Fed, ...]  # as it was asked, then the least; () for what eats little or is no fish
    least_l: float | None  # the least tub for them, fed the least, with half changed each day
    common: tuple[Common, ...]
    looks: tuple[NewcomerLook, ...]
    rule: str
    days: float
    over: date
    open_until: date | None
    source_of_rule: str
    status: str


class Place(msgspec.Struct, frozen=True, kw_only=True):
    """A tank as a place for newcomers: free, or why it is not."""

    tank: str
    free: bool
    why: str = ""  # lives, course


class Quarantine(msgspec.Struct, frozen=True, kw_only=True):
    """All that came, each source apart."""

    came: datetime
    arrivals: tuple[Arrival, ...]
    places: tuple[Place, ...]


def quarantine_wanted(
    room: Room, typed: Mapping[str, str], now: datetime, zone: str, facts: Facts, taste: Taste
) -> Quarantine:
    """The quarantine of what is to come, or came.

    Parameters
    ----------
    room : Room
        Its tanks are the places.
    typed : mapping
        animals= with source=; or each source by its own word, auction="8 platies 2.5cm"; into= their tanks in
        the same order; when=; food=, protein=, ph=, temp=, volume=, fish= for the water.
    now : datetime
        The moment.
    zone : str
        Of the keeper's wall clock.
    facts : Facts
        The facts.
    taste : Taste
        The keeper's units.

    Raises
    ------
    BadInput
        If nobody is named, or a word can't be read.
    Refused
        If one would go to others, or into a tank where somebody lives.
    """
    sources = _sources(typed)
    if "fish" in typed and len(sources) > 1:
        raise BadInput("fish", typed["fish"], "can't be of several sources. Ask for one at a time.")
    came = not_future(moment(typed.get("when", ""), now, zone).at, now, typed.get("when", ""))
    stock = {s: tuple(animals(text, facts, taste)) for s, text in sources.items()}
    where = _where(room, typed, list(sources), facts)
    _apart(room, where, now, zone, facts)
    arrivals = [
        _arrival(room, s, own, where.get(s, ""), typed, came, now, zone, facts, taste)
        for s, own in stock.items()
    ]
    return Quarantine(came=came, arrivals=tuple(arrivals), places=places(room, facts))


def _sources(typed: Mapping[str, str]) -> dict[str, str]:
    """Source -> its animals as they were typed."""
    found = {k: v for k, v in typed.items() if k not in KEYS and v.strip()}
    if (told := typed.get("animals", "").strip()) and not is_unknown(told):
        source = typed.get("source", "").strip()
        found[source] = told
    if not found:
        raise BadInput("animals", "", 'is missing: who came? Write animals="8 platies 2.5cm" source=auction.')
    if len(found) > MOST_SOURCES:
        raise BadInput("source", ", ".join(found), f"are more than {MOST_SOURCES}. Ask for a few at a time.")
    return found


def places(room: Room, facts: Facts) -> tuple[Place, ...]:
    """Every tank as a place for newcomers: nobody may live in it, and no course run."""
    found = []
    for tank in room.tanks:
        lives = [s for s in room.stock_of(tank) if s.kind not in facts.plants]
        why = "lives" if lives else "course" if tank in room.courses else ""
        found.append(Place(tank=tank, free=not why, why=why))
    return tuple(found)


def _where(room: Room, typed: Mapping[str, str], sources: list[str], facts: Facts) -> dict[str, str]:
    """Source -> tank: as it was asked; else the free ones in turn, while there are any."""
    asked = [w.strip() for w in typed.get("into", "").replace(";", ",").split(",") if w.strip()]
    if len(asked) > len(sources):
        raise BadInput("into", typed["into"], f"names more tanks than there are sources ({len(sources)}).")
    found = {s: find_tank(room, w, "into").id for s, w in zip(sources, asked, strict=False)}
    if asked:
        return found
    free = [p.tank for p in places(room, facts) if p.free]
    return dict(zip(sources, free, strict=False))


def _apart(room: Room, where: Mapping[str, str], now: datetime, zone: str, facts: Facts) -> None:
    """Sources are not put together, and nobody is put to others (rule 27)."""
    rule = next(r for r in facts.hygiene.quarantine_fact if r.id == "apart_sources")
    no: list[Reason] = []
    free = [room.tanks[p.tank].name for p in places(room, facts) if p.free]
    change = f"{' or '.join(free)}: nobody lives there" if free else "a food-grade tub of their own"
    told = list(where.items())
    for n, (source, tank) in enumerate(told):
        name = room.tanks[tank].name
        together = [s for s, t in told[:n] if t == tank]
        if together:
            both = f"{together[0]} and {source} both into {name}: what one brings the other has not met"
            no.append(_reason("sources-together", both, "a tub for each source", rule.status))
            continue
        lives = [s for s in room.stock_of(tank) if s.kind not in facts.plants]
        there = newcomers_in(room, tank, now, zone, facts)
        same = there is not None and not there.residents and set(there.sources) == {source} and source
        if lives and not same:
            who = ", ".join(dict.fromkeys(s.name for s in lives))
            no.append(_reason("not-apart", f"{name} is no quarantine: {who} live there, and each would meet "
                              "what the other has", change, rule.status))  # fmt: skip
    if no:
        raise Refused(*no)


def _reason(kind: str, because: str, change: str, status: str) -> Reason:
    return Reason(kind=kind, because=because, would_change=change, source="none", status=status)


def _arrival(
    room: Room,
    source: str,
    stock: tuple[Stock, ...],
    tank: str,
    typed: Mapping[str, str],
    came: datetime,
    now: datetime,
    zone: str,
    facts: Facts,
    taste: Taste,
) -> Arrival:
    said = quantity(typed["temp"], "temperature", "temp", taste).estimate if typed.get("temp") else None
    temp = said or (warmth(room, tank) if tank else None)
    rule = rule_for(stock, temp, facts)
    days = float(next(v for v in (rule.high, rule.value, rule.low) if v is not None))
    start = day_of(came, zone)
    looks = tuple(looks_of(start, stock, facts))
    fed = _fed(room, tank, stock, typed, now, facts, taste)
    there = newcomers_in(room, tank, now, zone, facts) if tank else None
    return Arrival(
        source=source, stock=stock, tank=tank, with_=there if there and there.runs(start) else None,
        temp_c=temp, fed=fed, least_l=max(fed[-1].least_l, USUAL_TUB_L) if fed else None,
        common=commonly(stock, temp, facts), looks=looks, rule=rule.id, days=days,
        over=start + timedelta(days=ceil(days)),
        open_until=start + timedelta(days=ceil(worms_d(temp, facts))) if looks else None,
        source_of_rule=rule.source, status=rule.status,
    )  # fmt: skip


def _fed(
    room: Room,
    tank: str,
    stock: tuple[Stock, ...],
    typed: Mapping[str, str],
    now: datetime,
    facts: Facts,
    taste: Taste,
) -> tuple[Fed, ...]:
    """The water as it is fed, and fed the least; nothing where no fish came, or none has a weight."""
    fish = [s for s in stock if s.kind in facts.animals and facts.animals[s.kind].kind == "fish"]
    if not fish and "fish" not in typed:
        return ()
    told = {k: typed[k] for k in WATER if typed.get(k, "").strip()}
    if "volume" not in told and tank and (water := water_of(room.tanks[tank], room).value) is not None:
        told["volume"] = f"{water:g} L"
    told["animals"] = "; ".join(_line(s) for s in fish)
    if "volume" not in told:
        least = tub_wanted(room, tank, {**told, "food": LEAST_FED}, now, facts, taste).plan.least_l
        told["volume"] = f"{max(least, USUAL_TUB_L):g} L"
    rations = dict.fromkeys([told.get("food", LEAST_FED), LEAST_FED])
    return tuple(_one_fed({**told, "food": food}, room, tank, now, facts, taste) for food in rations)


def _line(one: Stock) -> str:
    length = f" {one.length_cm.value:g} cm" if one.length_cm else ""
    return f"{one.number.value:g} {one.kind}{length}"


def _one_fed(
    told: Mapping[str, str], room: Room, tank: str, now: datetime, facts: Facts, taste: Taste
) -> Fed:
    tub = tub_wanted(room, tank, told, now, facts, taste)
    likely_mg = 1000.0 * tub.likely_g
    p = tub.plan
    food = p.food_mg_day / (p.fish_g * 1000.0)
    protein = p.made_mg_day / (p.food_mg_day * TAN_PER_PROTEIN) if p.food_mg_day else None
    plan, answer = tub_plan(likely_mg, p.volume_l, food, protein, p.ph, p.temp_c, facts)
    share = plan.nh3_n_mg_l / plan.total_mg_l if plan.total_mg_l else 0.0
    held = [w for w in WAITS_D if plan.rise_mg_l_day * w / HALF * share <= plan.bound_mg_l]
    wait = held[0] if held else WAITS_D[-1]
    rise = plan.rise_mg_l_day * share
    work = Working()
    work.steps += [x for x in answer.how if x.step in UP_TO_THE_RISE]
    reached = work.step(
        "the poisonous part before a change", "rise × days ÷ ½ × share", rise * wait / HALF, "mg/L as N",
        inputs={"days": wait},
    )  # fmt: skip
    return Fed(
        food=food, plan=plan, answer=answer, how=tuple(work.steps), least_l=p.least_l, wait_days=wait,
        nh3_n_mg_l=reached,
        days_to_bound=plan.bound_mg_l / rise if rise > 0 else None,
    )  # fmt: skip


def begun(border: Border, found: Quarantine) -> tuple[Written, ...]:
    """The newcomers as they are kept: animals that came, with their source, each in its tank.

    Raises
    ------
    BadInput
        If one has no tank to be written into.
    """
    written: list[Written] = []
    for one in found.arrivals:
        if not one.tank:
            told = (
                "has no tank of its own yet. Write the tub down first, like tankward tank add name=tub "
                "volume=20L filter=none, then ask again with into=."
            )
            raise BadInput("into", one.source, told)
        for group in one.stock:
            texts = _texts(group, one.source, found.came, border.zone)
            written.append(border.stock(one.tank, texts))
            entry = written[-1].entry
            border = msgspec.structs.replace(border, room=entry.effect(border.room))
    return tuple(written)


def _texts(group: Stock, source: str, came: datetime, zone: str) -> dict[str, str]:
    number = group.number
    told = {
        "kind": group.kind or "dont-know",
        "name": group.name,
        "number": f"{number.value:g}" if number.low == number.high else f"about {number.value:g}",
        "stage": group.stage,
        "source": source,
        "arrived": "0 d",
        "when": came.isoformat(),
    }
    if group.length_cm is not None:
        told["length"] = f"{group.length_cm.value:g} cm"
    if group.sex:
        told["sex"] = group.sex
    return {k: v for k, v in told.items() if v}
