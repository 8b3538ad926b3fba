"""Newcomers apart: the looks by their days, what such fish carry, when they may join, what is never done."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Protocol

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.digits import shown
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Step
from tankward.room.replay import Room
from tankward.room.things import Stock
from tankward.room.time import day_of
from tankward.rounds.carries import MIXED, Common
from tankward.rounds.newcomers import Apart, NewcomerLook
from tankward.treat.husbandry.tub import TubPlan, wait_words

from .acts import listed, upper
from .after import date_said, signs_said
from .causes import short_name
from .room import count
from .status import status_words

LOOK_AT = {"droppings": "the droppings", "vents": "the vents"}
LOOK_THEN = {
    "droppings": "Fresh ones, by eye and under the lens where there is one. Write down what you looked for "
    "and did not see (usual practice).",
    "vents": "A torch, resting fish, five minutes: red threads. Write down what you looked for and did not "
    "see (usual practice).",
}
PRACTICE = "usual practice, no source"
SET_UP = (
    ("A tank or a food-grade tub for each source", "Bare floor, sponge filter, a cover, something to hide "
     "in, little traffic. Gravel shelters parasites (published, VKQ)."),
    ("Its own net, siphon, cup and towel", f"Marked. Nothing of it touches another tank ({PRACTICE})."),
    ("Last in the round", f"Hands washed to the elbow after it ({PRACTICE})."),
)  # fmt: skip
BAG = (
    ("Float the bag until its water differs by less than 2 °C", "About 30 minutes for 4 to 5 °C (published, "
     "TRANSREV)."),
    ("Then out of the bag within minutes, by cup or net", "After a long way its water is acid and full of "
     f"ammonium: no slow dripping of hard water into it ({PRACTICE})."),
    ("No bag water into the tank", f"Down the sink ({PRACTICE})."),
    ("Light off, no food until they look for it", f"Then as little as stands under the water ({PRACTICE})."),
    ("Shrimp and snails slower", f"New water dripped to them over one to three hours ({PRACTICE})."),
)  # fmt: skip
NO_SIGN = (
    ("Without a sign: nothing", "No mixture, no worm powder, no antibiotic, no salt to be safe. It harms "
     f"some of them, hides what is there, and makes the next look worth less ({PRACTICE})."),
    ("Without a sign you may", "Change water, keep it dark and quiet, feed well, look under the lens."),
    ("With a sign, or a find under the lens", "Ask what it may be. Then one medicine at a time, against "
     "that, held against those in there; the days begin anew after the last dose."),
    ("If one dies", "Out at once and looked at: it is evidence, and may speak for all of them."),
)  # fmt: skip
NEVER = (
    "Never put to others to see whether they stay well.",
    "Never two sources in one tub, nor a newcomer to those that are half way.",
    "No number of clean days says that they are free of anything.",
)
TITLE = "Newcomers apart"
WHAT_FOR = (
    "Who came, and from where. Each source goes into its own tank; the days, the looks and the water are "
    "worked out."
)
ORIGIN = {"shop": "from shops", "import": "imported", "farm": "from farms", "wild": "caught wild",
          "lab": "of laboratories", "own": "of an aquarium"}  # fmt: skip
GROUPS = {
    MIXED: "fish of many kinds", "livebearer": "livebearers", "cichlid": "cichlids", "tetra": "tetras",
    "barb_danio": "barbs and danios", "catfish_loach": "catfish and loaches", "goldfish": "goldfish",
    "anabantoid": "labyrinth fish", "killi_rainbow": "killifish and rainbowfish",
}  # fmt: skip
RESTARTED = {"newcomer": "counted anew from the last newcomer", "sign": "counted anew from the last sign"}
RULES = {
    "trade": "the usual days for new fish",
    "cool": "the usual days below 20 °C, where parasites turn slowly",
    "plants": "the usual days for plants, without fish",
    "shrimp_snails": "the usual days for shrimp and snails, without fish",
}


FAR_D = 60.0  # what would be reached later than that is not told [our own choice]


class Fed(Protocol):
    """One ration and its water."""

    @property
    def food(self) -> float: ...
    @property
    def plan(self) -> TubPlan: ...
    @property
    def how(self) -> Sequence[Step]: ...
    @property
    def wait_days(self) -> float: ...
    @property
    def nh3_n_mg_l(self) -> float: ...
    @property
    def days_to_bound(self) -> float | None: ...
    @property
    def holds(self) -> bool: ...


class Arrival(Protocol):
    """What came from one source."""

    @property
    def source(self) -> str: ...
    @property
    def stock(self) -> Sequence[Stock]: ...
    @property
    def tank(self) -> str: ...
    @property
    def with_(self) -> Apart | None: ...
    @property
    def temp_c(self) -> Estimate | None: ...
    @property
    def fed(self) -> Sequence[Fed]: ...
    @property
    def least_l(self) -> float | None: ...
    @property
    def common(self) -> Sequence[Common]: ...
    @property
    def looks(self) -> Sequence[NewcomerLook]: ...
    @property
    def rule(self) -> str: ...
    @property
    def days(self) -> float: ...
    @property
    def over(self) -> date: ...
    @property
    def open_until(self) -> date | None: ...
    @property
    def status(self) -> str: ...


class Found(Protocol):
    """All that came."""

    @property
    def came(self) -> datetime: ...
    @property
    def arrivals(self) -> Sequence[Arrival]: ...


class DayRow(msgspec.Struct, frozen=True, kw_only=True):
    """One thing by its day."""

    on: date
    margin: str
    head: str
    soft: str
    done: bool = False


def newcomer_look(what: str, name: str, day: int) -> str:
    """Look at the droppings of the newcomers in T11: day 10."""
    return f"Look at {LOOK_AT[what]} of the newcomers in {name}: day {day}."


def who(one: Arrival) -> str:
    """8 platies, 2 loaches."""
    return listed([f"{count(s.number)} {s.name}" for s in one.stock])


def heading(found: Found, room: Room) -> str:
    """Where each source goes, and until when."""
    parts = [f"{who(a)} {_into(a, room)}" for a in found.arrivals]
    last = max(a.over for a in found.arrivals)
    many = "each apart" if len(parts) > 1 else "apart"
    return f"{upper('; '.join(parts))}: {many} until {date_said(last)}."


def _into(one: Arrival, room: Room) -> str:
    if one.tank:
        return f"into {room.tanks[one.tank].name}"
    return f"into a tub of {shown(one.least_l, 'L')} or more" if one.least_l else "into a tub of their own"


def from_words(one: Arrival) -> str:
    """The source, in the keeper's own word."""
    return upper(one.source) if one.source else "From where was not said"


def place_says(one: Arrival, room: Room) -> str:
    """Where they go, and whose days begin anew by it."""
    if one.tank and one.with_ is not None:
        name = room.tanks[one.tank].name
        return (
            f"Into {name}, to those of the same source. All of them wait until {date_said(one.over)} now: a "
            "newcomer starts the days again for the whole tub."
        )
    if one.tank:
        return f"Into {room.tanks[one.tank].name}: nobody lives there."
    size = f" of {shown(one.least_l, 'L')} or more" if one.least_l else ""
    return f"No tank is free for them: a food-grade tub{size}, with a cover and an air stone."


def days_says(one: Arrival) -> str:
    """How long, by which rule."""
    return (
        f"{one.days:g} days: {RULES[one.rule]} ({status_words(one.status)}). And the last 14 without a sign "
        "or a death nobody can explain."
    )


def day_rows(one: Arrival, came: datetime, today: date, zone: str) -> list[DayRow]:
    """The plan of the days, by their dates."""
    start = day_of(came, zone)
    rows = [
        DayRow(on=start, margin=_margin(start, today), head="They go in", soft="Bag, water, dark: as below.")
    ]
    rows += [look_row(look, today) for look in one.looks]
    rows.append(over_row(one.over, today, with_fish=bool(one.looks)))
    if one.open_until is not None:
        rows.append(open_row(one.open_until, today))
    return sorted(rows, key=lambda r: r.on)


def look_row(look: NewcomerLook, today: date) -> DayRow:
    """One look with a day of its own."""
    return DayRow(
        on=look.on, margin=_margin(look.on, today), head=f"Day {look.day}: look at {LOOK_AT[look.what]}",
        soft=LOOK_THEN[look.what], done=bool(look.done),
    )  # fmt: skip


def over_row(over: date, today: date, *, with_fish: bool) -> DayRow:
    """When they may join, and what has to be so."""
    eat = "all eat and hold their weight, " if with_fish else ""
    told = ". One of little worth from the old room with them for three days shows what they bring"
    test = told if with_fish else ""
    return DayRow(
        on=over, margin=_margin(over, today), head="They may join, if all of this is so",
        soft=f"No sign and no unexplained death for 14 days, {eat}nothing of a medicine left, ammonia and "
        f"nitrite nil{test} ({PRACTICE}).",
    )  # fmt: skip


def open_row(until: date, today: date) -> DayRow:
    """Until when red worms may still come to light."""
    return DayRow(
        on=until, margin=_margin(until, today), head="Until here red worms stay open",
        soft="They hide in a fish for 45 to 90 days at 25 °C: look at the vents in their new tank too "
        "(recalled, not read).",
    )  # fmt: skip


def _margin(day: date, today: date) -> str:
    return "Today" if day == today else f"{day.day} {day:%b}"


def fed_says(fed: Fed) -> str:
    """One ration: fed 3 %, ammonia rises by 0.18 mg/L a day; half every day holds its poisonous part."""
    p = fed.plan
    reaches = (
        f", and with no change its poisonous part would reach {shown(p.bound_mg_l, 'mg/L')} on day "
        f"{_day_number(fed.days_to_bound)}"
        if fed.days_to_bound is not None and fed.days_to_bound < FAR_D
        else ""
    )
    held = "holds it at" if fed.holds else "lets it reach"
    return (
        f"Fed {100 * fed.food:.2g} % of their weight a day in {shown(p.volume_l, 'L')}, ammonia rises by "
        f"{shown(p.rise_mg_l_day, 'mg/L')} as N a day{reaches}. Half changed {wait_words(fed.wait_days)} "
        f"{held} {shown(fed.nh3_n_mg_l, 'mg/L')}."
    )


def _day_number(days: float) -> int:
    """The day on which it is passed: after 2.1 days it is day 3."""
    return int(days) + 1


WATER_SURE = (
    "No filter is counted: a new sponge turns over nothing for weeks. pH and warmth that nobody said count "
    "as 8.2 and 28 °C. Measure on each day of the first two weeks."
)


def common_says(one: Common, facts: Facts) -> str:
    """Of 100 fish from shops so many had it."""
    name = short_name(one.cause, facts)
    group = f"{GROUPS.get(one.group, one.group.replace('_', ' '))} {ORIGIN.get(one.origin, one.origin)}"
    if one.share is None:
        return f"{upper(name)}: named for {group}, without a figure."
    n = f" of {one.n}" if one.n else ""
    return f"{upper(name)}: found in {shares(one)}{n} {group}."


def shares(one: Common) -> str:
    """12 %, or 12 % (8 to 17)."""
    assert one.share is not None and one.low is not None and one.high is not None
    wide = f" ({100 * one.low:.0f} to {100 * one.high:.0f})" if one.high > one.low else ""
    return f"{_percent(one.share)}{wide}"


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %" if share >= 0.01 else "under 1 %"


def common_soft(one: Common, facts: Facts) -> str:
    """What to look for, and one round of it."""
    look = f"Look for {signs_said(one.signs, facts)}." if one.signs else ""
    if one.days is None:
        round_ = "No round of it can be waited for: fish may carry it without a sign."
    else:
        round_ = f"One round of it takes {one.days[0]:.0f} to {one.days[1]:.0f} days in this warmth."
    sure = status_words(one.status) + (f", {one.source}" if one.source != "none" else "")
    return f"{look} {round_} {upper(sure)}.".strip()


COMMON_SAY = "Found elsewhere in fish like these. It says what to look for, not what these have."
NONE_COMMON = (
    "Shrimp, snails and plants bring stages of fish parasites on them: without fish these starve "
    "(usual practice). What they carry of their own is not known here; that says nothing of these."
)


def apart_heading(one: Apart, room: Room, now: datetime, zone: str) -> str:
    """How far those of a tank are."""
    name, today = room.tanks[one.tank].name, day_of(now, zone)
    if one.runs(today):
        return f"{name}: day {one.day(now, zone)}, apart until {date_said(one.over)}."
    if one.open_until is not None and today < one.open_until:
        return f"{name}: their days apart are over; red worms stay open until {date_said(one.open_until)}."
    return f"{name}: their days apart are over."


def apart_why(one: Apart, room: Room, facts: Facts) -> str:
    """Who they are, what made the days begin anew, who is with them."""
    names = listed([f"{count(room.stock[s].number)} {room.stock[s].name}" for s in one.stock])
    sources = [s for s in one.sources if s]
    told = [f"{upper(names)}{' (' + listed(sources) + ')' if sources else ''}."]
    if one.restarted:
        seen = f" ({signs_said(one.signs, facts)})" if one.restarted == "sign" and one.signs else ""
        told.append(f"{upper(RESTARTED[one.restarted])}{seen}.")
    if len(sources) > 1:
        told.append("They are of several sources: each may have what the others have.")
    if one.residents:
        others = listed([room.stock[s].name for s in one.residents])
        told.append(f"They are not apart: {others} live with them, and wait as they do.")
    return " ".join(told)


def apart_rows(one: Apart, today: date) -> list[DayRow]:
    """The days of those that are in there."""
    rows = [look_row(look, today) for look in one.looks]
    rows.append(over_row(one.over, today, with_fish=bool(one.looks)))
    if one.open_until is not None:
        rows.append(open_row(one.open_until, today))
    return sorted(rows, key=lambda r: r.on)


def begun_says(found: Found, room: Room) -> str:
    """What was written down."""
    parts = [f"{who(a)} in {room.tanks[a.tank].name}" for a in found.arrivals if a.tank]
    return f"Written down: {listed(parts)}. Their days are in the round and in the calendar."
