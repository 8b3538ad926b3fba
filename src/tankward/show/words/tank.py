"""The finding of a tank: the state, then the act; one sentence of why."""

from __future__ import annotations

from datetime import datetime, timedelta

import msgspec

from tankward.judge.choices import ACID_PH, NH3_CARE, NITRITE_CARE, OXYGEN_CARE, Choice
from tankward.judge.finding import Finding
from tankward.judge.findings import Gate
from tankward.judge.urgent import Urgent
from tankward.knowledge.known import Facts
from tankward.model.result import Forecast
from tankward.quantities.digits import shown
from tankward.room.entries.acts import Step

from .acts import ended, group_head, listed, upper
from .chance import chance_words
from .days import clock, day_said
from .judge import finding_head, finding_why, urgent_heading, water_line
from .signs import sign_words
from .states import State, day

NOTHING = "Nothing has to be done tonight."
ACTS = {
    "ammonia": "Change {change} of the water tonight.",
    "nitrite": "Change {change} of the water tonight.",
    "chlorine": "Dechlorinator for the whole tank now.",
    "low_oxygen": "Turn the air up now.",
    "little_water": "Fill it up in portions, as warm as the tank.",
    "ph_crash": "Change {small} of the water tonight, and nothing that raises pH.",
    "gas_supersaturation": "Look for bubbles in the fins; let no pump draw air.",
    "temperature": "Bring the warmth back slowly.",
    "nitrate_chronic": "Change water this week.",
    "crowding": "Feed less, and find room for some.",
    "medicine-did-it": "Give nothing more. Say what went in.",
    "readings-do-not-fit": "Read the water again.",
}
SMALL = "15 to 20 %"
WORRY = 0.05  # a chance worth a sentence [our own choice]
LIMITS: tuple[tuple[str, str, str, Choice], ...] = (
    ("nh3_n", "peak", "The poisonous part of ammonia may pass", NH3_CARE),
    ("nitrite_n", "peak", "Nitrite may pass", NITRITE_CARE),
    ("oxygen", "least", "Oxygen may fall under", OXYGEN_CARE),
)


class Told(msgspec.Struct, frozen=True, kw_only=True):
    """The heading of a tank's page. `then`, the way on: urgent, too-much, look, water, course, nothing."""

    says: str
    why: str = ""
    mark: str = ""
    mark_words: str = ""
    then: str = ""


class Known(msgspec.Struct, frozen=True, kw_only=True):
    """What a tank's heading is made of."""

    name: str
    state: State
    findings: tuple[Finding, ...]
    gate: Gate
    urgent: Urgent | None = None
    ph: float | None = None
    next_steps: tuple[Step, ...] = ()  # open steps of the running course that come next
    late: bool = False
    thin: str = ""  # a substance that has thinned below what works
    forecast: Forecast | None = None
    over: str = ""  # a substance of which more is in the water than its limit, and how much
    over_why: str = ""


def tank_finding(known: Known, now: datetime, zone: str, facts: Facts) -> Told:
    """What is so and what to do, worst first."""
    if known.urgent is not None:
        return Told(
            says=urgent_heading(known.urgent, known.name), mark="danger", mark_words="Now", then="urgent"
        )
    if known.over:
        return Told(says=f"{known.over} Nothing more goes in.", why=known.over_why, mark="danger",
                    mark_words="Too much", then="too-much")  # fmt: skip
    bad = _worst(known)
    why = _why(known, now, zone, facts)
    if bad is not None and bad.severity == "danger":
        return Told(says=_bad(bad, known), why=finding_why(bad), mark="danger", mark_words="The water first",
                    then="water")  # fmt: skip
    if known.next_steps:
        return _course(known, now, zone, facts, why)
    if bad is not None:
        return Told(says=_bad(bad, known), why=finding_why(bad), mark="caution", mark_words="Take care",
                    then="water")  # fmt: skip
    return _by_state(known, now, facts, why)


def _worst(known: Known) -> Finding | None:
    """The first bad finding that something can be done about; a range of nature is no limit (rule 7)."""
    bad = [f for f in known.findings if f.severity in ("danger", "caution") and f.kind in ACTS]
    return next(iter(bad), None)


def _bad(found: Finding, known: Known) -> str:
    act = ACTS[found.kind].format(change=change_words(known.ph), small=SMALL)
    return f"{ended(finding_head(found))} {act}"


def change_words(ph: float | None) -> str:
    """Half; less where the tank may be old and acid (safety rule 17)."""
    return SMALL if ph is None or ph < ACID_PH.value else "half"


def _course(known: Known, now: datetime, zone: str, facts: Facts, why: str) -> Told:
    first = known.next_steps[0]
    act = ended(group_head(known.next_steps, facts))
    state = f"{upper(known.thin)} has thinned below what works. " if known.thin else ""
    if known.late:
        when = f"Due {day_said(first.at, now, zone)} at {clock(first.at, zone)}"
        return Told(says=f"{state}{when}: {_lower(act)}", why=why, mark="caution", mark_words="Late",
                    then="course")  # fmt: skip
    day = day_said(first.at, now, zone)
    if day in ("tonight", "today"):
        return Told(
            says=f"{state}{upper(day)} at {clock(first.at, zone)}: {_lower(act)}", why=why, then="course"
        )
    return Told(says=f"{state}{NOTHING} Next, {day}: {_lower(act)}", why=why, then="course")


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def _by_state(known: Known, now: datetime, facts: Facts, why: str) -> Told:
    state = known.state
    if state.state == "empty":
        return Told(says=f"Nobody lives in {known.name} yet. {NOTHING}", then="nothing")
    if state.why in ("signs", "signs-few"):
        signs = listed([sign_words(s, facts) for s in state.signs[:2]])
        more = f" and {len(state.signs) - 2} more" if len(state.signs) > 2 else ""
        when = f", {day(state.at, now)}" if state.at else ""
        says = f"{upper(signs)}{more}{when}. {_next(known)}"
        return Told(says=says, why=_joined(water_line(known.findings, known.gate), why), then="look",
                    mark="danger" if state.state == "sick" else "caution",
                    mark_words="Signs seen" if state.state == "sick" else "One shows signs")  # fmt: skip
    if state.why == "shared-net":
        says = "It shared a net with a tank that shows signs. Watch it; nothing else tonight."
        return Told(says=says, why=why, mark="caution", mark_words="Watch", then="look")
    if state.why in AFTER:
        return Told(says=AFTER[state.why], why=why, mark="caution", mark_words="Watch", then="look")
    if state.state == "unknown":
        says = "No look in the last ten days is written down. Look tonight."
        return Told(says=says, why=why, mark="unknown", mark_words="We don't know", then="look")
    return Told(says=f"Nothing stands out. {NOTHING}", why=_joined(_water_old(known), why), then="nothing")


AFTER = {
    "after-course": "Watched after its course. Look for the signs of it; nothing else tonight.",
    "met-ill": "It met a tank that was ill. Look for the signs of it; nothing else tonight.",
}


def _next(known: Known) -> str:
    return "Read the water first." if known.gate.unknown else "See what it may be."


def _water_old(known: Known) -> str:
    return "The water was not read lately: read it before any medicine." if known.gate.unknown else ""


def _joined(*parts: str) -> str:
    return " ".join(p for p in parts if p)


def _why(known: Known, now: datetime, zone: str, facts: Facts) -> str:
    """What the days to come bring, where it is worth a sentence."""
    found = known.forecast
    if found is None:
        return ""
    names = {s.name for s in found.series}
    told = []
    for name, kind, words, limit in LIMITS:
        if name not in names:
            continue
        chance = (
            found.chance(name, above=limit.value) if kind == "peak" else found.chance(name, below=limit.value)
        )
        if chance >= WORRY:
            end = found.peak(name) if kind == "peak" else found.least(name)
            on = day_said(now + timedelta(hours=end.at_h), now, zone)
            told.append(f"{words} {shown(limit.value, limit.unit)} by {on} ({chance_words(chance, chance)}).")
    return " ".join(told)


def thinned(found: Forecast | None, substance: str, works_from: float | None, facts: Facts) -> str:
    """The substance's name where it is likely under the lowest level that works."""
    if found is None or works_from is None or substance not in {s.name for s in found.series}:
        return ""
    return facts.substances[substance].names[0] if 0 < found.at(substance, 0.0).value < works_from else ""


__all__ = ["Known", "Told", "change_words", "tank_finding", "thinned"]
