"""A tank wound down: who goes where and when, its water, its things, what never happens, the record."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.keeping import Disinfection, Rule
from tankward.quantities.digits import plain_number, shown
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.rounds.closing import Closing, Dry, Home, Leaving
from tankward.treat.amounts.net_bath import NetPlan

from .acts import listed, upper
from .after import date_said, hold_says
from .causes import short_name
from .hygiene import EYES, NO_FLAME, sure
from .outlook import germ_name
from .room import count
from .status import status_words

MOST_CAUSES = 3
CARBON_SLOW_H = 48.0  # slower than that it is not taken within the time that it stands [our own choice]
NEVER = (
    "Never into a pond, ditch, stream or the toilet: no fish, shrimp, snail or plant, alive or dead.",
    "Never its water into a drain in the street, a soakaway, a septic tank or onto beds by a pond.",
    "Never topped up and sold with what is in it; never its media or gravel into another tank.",
    "Never called clean or free of disease, whatever was done.",
)
NEVER_WELL = (
    "Never into a pond, ditch, stream or the toilet: no fish, shrimp, snail or plant, alive or dead.",
    "Never its water into a drain in the street, a soakaway or a septic tank.",
    "Never called clean or free of disease: nothing was seen, and that is all that is known.",
)
END = (
    "What nobody can house gets a humane end: by a veterinarian first. The published ways stand under What "
    "we know, A humane end. Never chilling, freezing or flushing."
)
ASK = (
    "Ask what they are before they go anywhere: a photo, how long, how they hold themselves. Alone in a tub "
    "meanwhile, in water like theirs here, warmth the same; no other animal with them."
)
HELD = "Neither sold nor given."
CLOSED = "The record is closed. Its entries stay, and its name stays out of use."
NOT_EMPTY = "The record can be closed once nobody is written down in it."
PRACTICE = "usual practice"


class Left(Protocol):
    """A medicine that may still be in the water."""

    @property
    def substance(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def level(self) -> Estimate | None: ...
    @property
    def carbon_h(self) -> tuple[float, float] | None: ...
    @property
    def text(self) -> str: ...
    @property
    def source(self) -> str: ...
    @property
    def status(self) -> str: ...


class Found(Protocol):
    """All that closing a tank takes."""

    @property
    def tank(self) -> Tank: ...
    @property
    def closing(self) -> Closing: ...
    @property
    def left(self) -> Sequence[Left]: ...
    @property
    def given(self) -> Sequence[str]: ...
    @property
    def carbon(self) -> Rule: ...
    @property
    def carbon_g(self) -> tuple[float, float] | None: ...
    @property
    def bleach(self) -> Answer | None: ...
    @property
    def filled_l(self) -> float | None: ...
    @property
    def hours(self) -> float: ...
    @property
    def bath(self) -> Disinfection: ...
    @property
    def net(self) -> NetPlan: ...
    @property
    def strength(self) -> str: ...
    @property
    def strength_known(self) -> bool: ...


class Step(msgspec.Struct, frozen=True, kw_only=True):
    """One step, in its order: what, how, what it risks, how sure."""

    head: str
    how: str = ""
    hazard: str = ""
    sure: str = ""


class Goes(msgspec.Struct, frozen=True, kw_only=True):
    """One group: who, where they may go, until when apart."""

    stock: str
    margin: str
    head: str
    held: str  # "" where nothing holds them
    where: str
    apart: str
    unknown: bool


def finding(found: Found) -> str:
    """What holds for all of it, and what is to be done."""
    name, c = found.tank.name, found.closing
    if not [g for g in c.groups if g.kind != "plant"]:
        return f"Nobody lives in {name}: drain it, make it clean, close the record."
    if c.held:
        return (
            f"Winding down {name}: nothing of it is sold or given. Each goes apart, or to those that met it."
        )
    if c.suspect:
        return f"Winding down {name}: the animals first, and nothing of its gravel or media goes on."
    return f"Winding down {name}: the animals first, then the water, then the glass."


def why(found: Found, room: Room, now: datetime, zone: str, facts: Facts) -> str:
    """Why so."""
    c = found.closing
    if c.hold is not None:
        causes = _causes(c, facts)
        return f"{hold_says(c.hold, room, now, zone, facts)}{causes}"
    if c.suspect:
        return f"What was in it may still be there.{_causes(c, facts)}"
    return (
        "Nothing was seen in it in half a year, and no course was given. That does not say that it is clean."
    )


def _causes(c: Closing, facts: Facts) -> str:
    names = [short_name(x, facts) for x in c.causes[:MOST_CAUSES]]
    more = len(c.causes) - MOST_CAUSES
    if not names:
        return " Worms and fish tuberculosis both stay open." if not c.known else ""
    return f" It may be {listed(names, 'or')}{f', or one of {more} others' if more > 0 else ''}."


def goes(one: Leaving, room: Room) -> Goes:
    """One group: where it may go."""
    unknown = one.kind == "unknown"
    return Goes(
        stock=one.stock.id,
        margin=count(one.stock.number),
        head=upper(one.stock.name or "animals"),
        held=HELD if one.held else "",
        where=ASK if unknown else _where(one, room),
        apart=apart_says(one),
        unknown=unknown,
    )


def _where(one: Leaving, room: Room) -> str:
    fit = [h for h in one.homes if h.fits]
    met = [_home(h, room) for h in fit if h.why == "exposed"]
    free = [_home(h, room) for h in fit if h.why == "free"]
    well = [_home(h, room) for h in fit if h.why == "well"]
    told = []
    if met:
        told.append(f"To {listed(met, 'or')}: it met the same already.")
    if free:
        told.append(f"Apart into {listed(free, 'or')}: nobody lives there.")
    if not one.held:
        told.append("Sold or given, with what is known of this tank told.")
        if well:
            told.append(f"Or to {listed(well, 'or')}, after a look at both.")
    if one.held and not met and not free:
        told.append(
            "Apart into a tub of their own: no tank here has met the same or stands free in their warmth."
        )
    if one.kind in ("carrier", "plant"):
        told.append("Not with fish: without them what they carry starves.")
    other = [h for h in one.homes if not h.fits and h.why != "well"]
    if other:
        told.append(f"Only after the warmth is matched: {listed([_home(h, room) for h in other], 'or')}.")
    return " ".join(told)


def _home(one: Home, room: Room) -> str:
    name = room.tanks[one.tank].name
    if one.differ_c is None:
        return f"{name} (its warmth is not known)"
    if one.fits:
        return name
    return f"{name} ({abs(one.differ_c):.0f} °C {'warmer' if one.differ_c > 0 else 'colder'})"


def apart_says(one: Leaving) -> str:
    """How long apart, wherever nobody met the same."""
    what = {"plant": "without fish", "carrier": "without fish"}.get(one.kind, "apart")
    told = (
        f"{one.apart_d:g} days {what}, from today until {date_said(one.apart)} ({status_words(one.status)})"
    )
    if one.worms is not None and one.worms_d is not None:
        told += f"; while worms stay open {one.worms_d:.0f} days, until {date_said(one.worms)}"
    return f"{told}. A sign starts them again."


CATCH = (
    Step(
        head="Say what each is, and where it goes",
        how="Nothing is caught before its place stands ready, of the same warmth, with a cover.",
        sure=PRACTICE,
    ),
    Step(
        head="Catch them in the dark, with a cup",
        how="Wood and pipes out first. Fish, then shrimp, then "
        "snails; whoever hides comes when the water is low.",
        sure=PRACTICE,
    ),
    Step(head="Plants last", how="What is thrown away is crushed and goes into the bin.", sure=PRACTICE),
    Step(
        head="The heater off last, when the animals are out",
        how="Unplug it, wait 15 minutes, then lower the water: hot glass cracks, dry heaters burn.",
        sure=PRACTICE,
    ),
)


def water_steps(found: Found) -> list[Step]:
    """What is in the water, carbon, and where the water goes."""
    steps = []
    for one in found.left:
        steps.append(
            Step(
                head=f"{upper(one.name)} is still in it{_level(one)}",
                how=f"{carbon_says(one)} {one.text}",
                sure=sure(one.source, one.status),
            )
        )
    if found.given:
        names = listed(list(found.given))
        steps.append(
            Step(
                head=f"{upper(names)} {'was' if len(found.given) == 1 else 'were'} given here",
                how="It may have faded; nobody has measured it.",
            )
        )
    if found.left or found.given:
        grams = found.carbon_g
        amount = (
            f"{shown(grams[0] * 1000, 'mg')} to {shown(grams[1] * 1000, 'mg')}"
            if grams
            else "1 to 3 g a litre"
        )
        steps.append(
            Step(
                head=f"Fresh carbon, {amount}, in the running filter for 24 to 48 hours",
                how="New carbon after the first day. Then it goes into the bin.",
                sure=sure(found.carbon.source, found.carbon.status),
            )
        )
    steps.append(
        Step(
            head="Drain it into the toilet or sink, in small lots",
            how="The foul sewer. Not the street drain, not the garden, no pond, no septic tank."
            if found.left or found.closing.suspect
            else "No street drain, no pond, no septic tank.",
            sure=PRACTICE,
        )
    )
    return steps


def _level(one: Left) -> str:
    if one.level is None:
        return ", or may be"
    return f", up to about {shown(one.level.high, 'mg/L')}" if one.level.high else ""


def carbon_says(one: Left) -> str:
    """Whether carbon takes it."""
    if one.carbon_h is None:
        return "Whether carbon takes it is not known."
    low, high = one.carbon_h
    if low > CARBON_SLOW_H:
        return "Carbon does not take it."
    return f"Carbon halves it in {plain_number(low)} to {plain_number(high)} hours (recalled, not read)."


def thing_steps(found: Found) -> list[Step]:
    """Gravel, media, wood: boiled, thrown away, or kept, by what lived in it."""
    if not found.closing.suspect:
        drug = " A medicine was given here and may sit in it: not to shrimp or snails."
        return [
            Step(
                head="Filter media may go on in a tank of the same keeper",
                how="Rinsed in its own water, wet, at once. Nothing was seen in this tank; it is no proof."
                + (drug if found.left or found.given else ""),
                sure=PRACTICE,
            ),
            Step(
                head="Gravel, wood, stones",
                how="Boiled or dried for a week before they go on.",
                sure=PRACTICE,
            ),
        ]
    return [
        Step(
            head="Filter media, sponge, gravel: into the bin, or boiled for 10 minutes",
            how="Bleach does not get into them. Wood is boiled or thrown away; it may crack.",
            sure=PRACTICE,
        ),
        Step(
            head="Nothing of it into another tank, however ripe",
            how="A new filter elsewhere is started with media of a tank in which nothing was seen.",
            sure=PRACTICE,
        ),
    ]


def glass_steps(found: Found, facts: Facts) -> list[Step]:
    """Washed, bleached by litre, neutralised, rinsed, dried, alcohol: each before the next (rule 23)."""
    steps = [
        Step(
            head="Wash the glass, pipes and heater",
            how="All dirt off: it uses bleach up.",
            sure="published, OIE113",
        )
    ]
    steps += _bleach(found)
    if found.closing.worms:
        hot = next((b for b in found.net.baths if b.unit == "C"), None)
        if hot is not None:
            steps.append(
                Step(
                    head=f"Nets, cups, pipes: water of {hot.low:g} to {hot.high:g} °C for "
                    f"{hot.minutes_high:g} minutes",
                    how="Worm eggs stay open: weak bleach made more of them develop.",
                    sure=sure(hot.source, hot.status),
                )
            )
    steps.append(
        Step(head=f"Dry for {found.closing.dry_d} days", how=dry_says(found.closing, facts), sure=PRACTICE)
    )
    steps.append(
        Step(
            head="Only now, and only if dry: 70 % alcohol on rims and lid, a minute",
            how="Wet all of it, then let it dry again.",
            hazard=NO_FLAME,
            sure="published, MAIN05",
        )
    )
    return steps


def _bleach(found: Found) -> list[Step]:
    hours = "24 hours, as mycobacteria stay open" if found.closing.mycobacteria else f"{found.hours:g} hour"
    b = found.bath
    if found.bleach is None:
        return [
            Step(
                head="Fill it and bleach it",
                how="How much water it holds is not known: write it down, and the millilitres stand here.",
                hazard=EYES,
                sure=sure(b.source, b.status),
            )
        ]
    thiosulfate = next(n for n in found.bleach.also if n.name.startswith("thiosulfate"))
    litres = shown(found.filled_l or 0.0, "L")
    return [
        Step(
            head=f"Fill it: {found.bleach.shown} of bleach in {litres}, for {hours}",
            how=f"Your bleach of {found.strength}: {plain_number(b.strength or 0.0)} mg/L of chlorine. "
            "The pump runs, "
            "pipes and heater in it, no animal and nothing that was animal.",
            hazard=EYES,
            sure=sure(b.source, b.status),
        ),
        Step(
            head=f"{thiosulfate.shown} of sodium thiosulfate, 5 minutes, then drain and rinse",
            how="Pentahydrate, stirred in: it ends what chlorine is left. No smell of bleach stays.",
            sure=_sure_of(found.bleach, "thiosulfate after"),
        ),
    ]


def _sure_of(answer: Answer, name: str) -> str:
    step = next(s for s in answer.how if s.step == name)
    return sure(step.source, step.status)


def dry_says(c: Closing, facts: Facts) -> str:
    """How long the hardest of what may be in it lasts on dry things."""
    told = "Bone dry, lid off, pipes and hose too. The days count from when the last drop is gone."
    if not c.dry:
        return told
    name, _ = dry_line(c.dry[0], facts)
    return f"{told} The hardest of what may be in it: {name.lower()}, {_span(c.dry[0])}."


def _span(one: Dry) -> str:
    low, high = one.dry_h
    return f"{low:g} to {high:g} hours" if high < 48 else f"{low / 24:.2g} to {high / 24:.2g} days"


def dry_line(one: Dry, facts: Facts) -> tuple[str, str]:
    """One organism: its name, how long on dry things and in water without a host."""
    water = (
        f" Left wet without a host: {one.off_host_d[0]:g} to {one.off_host_d[1]:g} days."
        if one.off_host_d is not None
        else ""
    )
    name = upper(germ_name(one.organism, one.cause, facts))
    return name, f"Dead {_span(one)} after all is dry.{water} {upper(status_words(one.status))}."


def never(found: Found) -> tuple[str, ...]:
    """What never happens."""
    return NEVER if found.closing.suspect else NEVER_WELL


OLD_BLEACH = "How strong your bleach is was not said: counted as 5 %. It weakens by months."


def left_says(found: Found) -> str:
    """Whether the record can be closed."""
    here = [g for g in found.closing.groups if g.kind != "plant"]
    if not here:
        return "Nobody is written down in it any more: the record can be closed."
    return f"{NOT_EMPTY} Still there: {listed([f'{count(g.stock.number)} {g.stock.name}' for g in here])}."
