"""The bedside chart of a tank: forecast, readings, acts and looks on one time axis."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from msgspec.structs import replace

from tankward.judge.choices import NH3_CARE, NITRITE_CARE, OXYGEN_CARE, PH_LOW
from tankward.judge.kits import with_kit_error
from tankward.knowledge.known import Facts
from tankward.model.result import Forecast, Series
from tankward.quantities.digits import plain_number
from tankward.room.acts import AnyAct, Change, Dose, Media, Siphon
from tankward.room.entries.animals import Death
from tankward.room.entries.looks import Look
from tankward.room.entries.water import ReadingTaken
from tankward.room.replay import Room
from tankward.room.things import Reading as Measured
from tankward.water.ammonia import unionised_share

from .charts.quiet import matters, quiet_line
from .charts.records import Act, Chart, CountRow, Curve, Limit, Reading, Strip, Works
from .words.acts import is_dechlorinator
from .words.signs import sign_words

CONDITIONER = "water conditioner"
PAST_DAYS = 3.5
NAMES = {
    "nh3_n": "Ammonia",
    "oxygen": "Oxygen",
    "temp_c": "Warmth",
    "nitrite_n": "Nitrite",
    "nitrate_n": "Nitrate",
    "ph": "pH",
    "alkalinity": "KH",
}
UNITS = {
    "nh3_n": "poisonous part, mg/L as N", "oxygen": "mg/L", "temp_c": "°C", "nitrite_n": "mg/L as N",
    "nitrate_n": "mg/L as N", "ph": "", "alkalinity": "mg/L as calcium carbonate",
}  # fmt: skip
# The least that a kit or a thermometer, with pH and warmth, can tell apart [common practice, no source].
STEP = {"nh3_n": 0.001, "temp_c": 0.1, "oxygen": 0.1, "nitrite_n": 0.01, "ph": 0.1, "alkalinity": 1.0}
IF_IT_MATTERS = ("ph", "alkalinity")  # a line of words until it does
ALWAYS = ("nh3_n", "oxygen", "temp_c")
COUNTED = ("belly_sunken", "white_stringy_faeces", "white_spots", "flashing", "fast_gills", "dark")


def bedside_chart(
    found: Forecast,
    room: Room,
    facts: Facts,
    *,
    says: str,
    zone: str,
    planned: Sequence[tuple[datetime, AnyAct]] = (),
    causes: Sequence[str] = (),
    past_days: float = PAST_DAYS,
) -> Chart:
    """The chart of one tank.

    Parameters
    ----------
    found : Forecast
        Of this tank.
    room : Room
        Its readings, acts and looks.
    facts : Facts
        Published levels and our ceilings, as limits of the strips.
    says : str
        The finding; the chart's name for ears.
    zone : str
        Of the keeper's wall clock; names the days.
    planned : sequence of (instant, act)
        What is to come.
    causes : sequence of str
        What is treated: its recommended levels are shown as "works".
    past_days : float
        How much of the past is drawn. [d]
    """
    start = found.now - timedelta(days=past_days)
    keep = window(found, past_days)
    hours = np.array(found.times_h)[keep] - (found.now_h - past_days * 24)
    strips = tuple(_strip(s, found, keep, room, facts, causes, start) for s in _chosen(found, facts))
    chart = Chart(
        says=says, start=start.astimezone(ZoneInfo(zone)), now_h=past_days * 24, hours=hours, strips=strips
    )
    apart = [
        _strip(s, found, keep, room, facts, causes, start) for s in found.series if s.name in IF_IT_MATTERS
    ]
    opens = any(matters(chart, s) for s in apart)
    return replace(
        chart,
        strips=(*strips, *apart) if opens else strips,
        quiet="" if opens else quiet_line(apart),
        acts=lane(room, found.tank, start, found.now, planned),
        counts=tuple(_counts(room, found.tank, start, found.now, facts, zone)),
        counts_of="Seen",
    )


def window(found: Forecast, past_days: float) -> Curve:
    """Rows of the forecast from so many days ago on."""
    return np.flatnonzero(np.array(found.times_h) >= found.now_h - past_days * 24 - 1e-9)  # type: ignore[return-value]


def _chosen(found: Forecast, facts: Facts) -> list[Series]:
    """Substances first; then the water's always, and nitrite where it matters."""
    water = [s for name in ALWAYS for s in found.series if s.name == name]
    nitrite = [s for s in found.series if s.name == "nitrite_n" and max(s.high) > NITRITE_CARE.value]
    own = [s for s in found.series if s.kind in ("substance", "in_fish") and max(s.high) > 0]
    return [s for s in own if not conditions(s.name, facts)] + water + nitrite


def conditions(substance: str, facts: Facts) -> bool:
    """What only makes new water fit is no line of the chart."""
    return substance in facts.substances and facts.substances[substance].kind == CONDITIONER


def _strip(
    s: Series, found: Forecast, keep: Curve, room: Room, facts: Facts, causes: Sequence[str], start: datetime
) -> Strip:
    now = max(int(np.searchsorted(found.times_h, found.now_h + 1e-9)) - 1, 0)
    own = s.kind in ("substance", "in_fish")
    bands = {"low": s.low, "q25": s.q25, "mid": s.value, "q75": s.q75, "high": s.high}
    curves = {k: np.array(v, dtype=np.float64)[keep] for k, v in bands.items()}
    step = STEP.get(s.name, 0.0)
    ends = [plain_number(v, step) for v in (s.low[now], s.high[now])]
    return Strip(
        name=facts.substances[s.name].names[0].capitalize() if own else NAMES[s.name],
        unit=f"in the {s.where}, {s.unit}" if own else UNITS[s.name],
        kind="computed",
        value=plain_number(s.value[now], step),
        value_range=" to ".join(dict.fromkeys(ends)),
        readings=tuple(_readings(room, found.tank, s.name, start, found.now, facts)),
        limits=() if s.kind == "in_fish" else tuple(_limits(s.name, s.unit, room, found.tank, facts)),
        works=_works(s.name, s.unit, causes, facts) if s.kind == "substance" else None,
        lead=own,
        floor=None if s.name in ("temp_c", "oxygen", "ph") else 0.0,
        **curves,
    )


PER_UNIT = {("g/L", "mg/L"): 1000.0, ("mg/L", "g/L"): 0.001, ("ug/L", "mg/L"): 0.001}


def _in(unit: str, own: str) -> float:
    """So many of the series' unit in one of a fact's."""
    return PER_UNIT.get((own, unit), 1.0)


def _limits(name: str, unit: str, room: Room, tank: str, facts: Facts) -> Iterable[Limit]:
    if name == "nh3_n":
        yield Limit(level=NH3_CARE.value, words=f"keep under {NH3_CARE.value:g}")
    elif name == "nitrite_n":
        yield Limit(level=NITRITE_CARE.value, words=f"keep under {NITRITE_CARE.value:g}")
    elif name == "oxygen":
        yield Limit(level=OXYGEN_CARE.value, words=f"keep over {OXYGEN_CARE.value:g}", over=False)
    elif name == "ph":
        yield Limit(level=PH_LOW.value, words=f"keep over {PH_LOW.value:g}", over=False)
    elif name == "temp_c":
        top = _warmest(room, tank, facts)
        if top is not None:
            yield Limit(level=top, words=f"keep under {top:g}")
    elif name in facts.substances:
        for row in facts.substances[name].ceiling:
            warn, refuse = (x * _in(unit, row.unit) for x in (row.warn_above, row.refuse_above))
            yield Limit(level=warn, words=f"keep under {warn:g}")
            yield Limit(level=refuse, words=f"refused over {refuse:g}", kind="danger")


def _warmest(room: Room, tank: str, facts: Facts) -> float | None:
    """The lowest upper end of the residents' stated ranges."""
    tops = [
        fact.high
        for stock in room.stock_of(tank)
        if stock.kind in facts.animals
        for fact in facts.animals[stock.kind].fact
        if fact.quantity == "temperature" and fact.high is not None
    ]
    return min(tops) if tops else None


def _works(substance: str, unit: str, causes: Sequence[str], facts: Facts) -> Works | None:
    """The recommended levels in the water for what is treated, one band over all."""
    rows = [r for r in facts.substances[substance].regimen if r.recommended and r.route == "water_long"]
    spans = [(r.low, r.high, _in(unit, r.unit)) for r in rows if set(r.treats) & set(causes)]
    ends = [(low * per, high * per) for low, high, per in spans if low is not None and high is not None]
    if not ends:
        return None
    low, high = min(e[0] for e in ends), max(e[1] for e in ends)
    words = f"published: {low:g}" + ("" if low == high else f" to {high:g}")
    return Works(low=low, high=high, words=words)


def _readings(
    room: Room, tank: str, name: str, start: datetime, now: datetime, facts: Facts
) -> Iterable[Reading]:
    for entry in room.readings(tank):
        if start <= entry.at <= now:
            found = _nh3(entry, facts) if name == "nh3_n" else _plain(entry, name, facts)
            if found is not None:
                hour = (entry.at - start).total_seconds() / 3600
                yield Reading(hour=hour, value=found[1], low=found[0], high=found[2])


def _of(entry: ReadingTaken, name: str) -> Measured | None:
    return next((r for r in entry.values if r.quantity == name), None)


def _plain(entry: ReadingTaken, name: str, facts: Facts) -> tuple[float, float, float] | None:
    reading = _of(entry, name)
    if reading is None:
        return None
    low, high = with_kit_error(reading, facts)
    return low, reading.value, high


def _nh3(entry: ReadingTaken, facts: Facts) -> tuple[float, float, float] | None:
    """The poisonous part of one reading of total ammonia, where pH and warmth were read with it."""
    ends = [_plain(entry, q, facts) for q in ("ammonia_n", "ph", "temp_c")]
    if any(e is None for e in ends):
        return None
    part = [tan * float(unionised_share(ph, temp)) for tan, ph, temp in zip(*ends, strict=True)]
    return part[0], part[1], part[2]


def act_words(act: AnyAct) -> str:
    """An act in its lane, short."""
    if isinstance(act, Dose) and is_dechlorinator(act):
        return ""
    if isinstance(act, Dose):
        return act.measured.split(",")[0].split(" of ")[0] or "dose"
    if isinstance(act, Change):
        return f"{100 * act.share:.0f} % out" if abs(act.share - 0.5) > 0.01 else "½ out"
    if isinstance(act, Media):
        return "carbon in" if act.into else "carbon out"
    return "siphon" if isinstance(act, Siphon) else ""


def lane(
    room: Room, tank: str, start: datetime, now: datetime, planned: Sequence[tuple[datetime, AnyAct]]
) -> tuple[Act, ...]:
    """What was done since `start` and what is to come."""
    return (*_acts(room, tank, start, now), *_planned(planned, start))


def _acts(room: Room, tank: str, start: datetime, now: datetime) -> list[Act]:
    found = [(at, act_words(act)) for at, act in room.acts(tank) if start <= at <= now]
    return [Act(hour=(at - start).total_seconds() / 3600, words=w, done=True) for at, w in found if w]


def _planned(planned: Sequence[tuple[datetime, AnyAct]], start: datetime) -> list[Act]:
    found = [(at, act_words(act)) for at, act in planned]
    return [Act(hour=(at - start).total_seconds() / 3600, words=w, done=False) for at, w in found if w]


def _counts(
    room: Room, tank: str, start: datetime, now: datetime, facts: Facts, zone: str
) -> Iterable[CountRow]:
    first = start.astimezone(ZoneInfo(zone)).date()

    def day(at: datetime) -> int:
        return (at.astimezone(ZoneInfo(zone)).date() - first).days

    entries = [e for e in room.of_tank(tank) if start <= e.at <= now]
    for sign in COUNTED:
        counts = {day(e.at): int(e.counts[sign]) for e in entries if isinstance(e, Look) and sign in e.counts}
        if counts:
            yield CountRow(name=sign_words(sign, facts).capitalize(), counts=counts)
    dead: dict[int, int] = {}
    for e in entries:
        if isinstance(e, Death):
            dead[day(e.at)] = dead.get(day(e.at), 0) + e.number
    if dead:
        yield CountRow(name="Dead", counts=dead, dead=True)
