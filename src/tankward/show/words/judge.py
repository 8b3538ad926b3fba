"""Sentences about what was found, what it may be, and what to do in the next ten minutes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tankward.judge.causes import Ranked, Ranking
from tankward.judge.finding import Finding
from tankward.judge.findings import Gate
from tankward.judge.urgent import Urgent, UrgentStep
from tankward.knowledge.known import Facts
from tankward.quantities.digits import shown, shown_range

from .causes import short_name
from .chance import chance_words
from .lowering import SMALL_FROM, SMALL_TO, is_small, lowering_says, share_words
from .mend_around import plain_said

KINDS = {
    "ammonia": "The poisonous part of ammonia",
    "nitrite": "Nitrite",
    "nitrate_chronic": "Nitrate",
    "chlorine": "Chlorine",
    "low_oxygen": "Oxygen",
    "little_water": "Water that is there",
    "ph_crash": "pH",
    "gas_supersaturation": "Oxygen, as a share of what the water holds,",
    "temperature": "The warmth",
    "ph": "pH",
    "crowding": "Fish for the water",
    "medicine-did-it": "A medicine may have done it",
    "readings-do-not-fit": "What was read does not fit together",
}
QUANTITIES = {
    "ammonia": "ammonia", "nitrite": "nitrite", "ph": "pH", "temperature": "the temperature",
    "oxygen": "oxygen",
    "ammonia_n": "ammonia", "nitrite_n": "nitrite", "temp_c": "the temperature",
}  # fmt: skip
ACTS = {
    "air": "Air: turn it up, move the surface",
    "stop": "Stop: nothing more goes in",
    "dechlorinate": "Dechlorinator for the whole tank",
    "change": "Change water",
    "carbon": "Fresh carbon into the filter",
    "dim": "Lights down",
    "look": "Look again",
    "dry-off": "Heater and filter off while they hang dry",
    "fill": "Fill up in portions",
    "back-on": "Heater and filter on again",
    "carbon-out": "Take the carbon out",
    "wait": "Wait with the next dose",
    "give-late": "Give the forgotten one",
    "rinse-filter": "Rinse the filter in tank water",
}


NO_MEDICINE = ("medicine-did-it", "little_water")
RESTS_ON = {"crowding": "by what they may weigh:", "little_water": "by what the tank holds:"}


def age_words(hours: float | None) -> str:
    """How old a reading is."""
    if hours is None:
        return ""
    if hours < 1.5:
        return "read within the hour"
    return f"read {hours:.0f} hours ago" if hours < 36 else f"read {hours / 24:.0f} days ago"


def _large(name: str) -> str:
    """The first letter large, but for what is written so: pH."""
    return name if name.startswith("pH") else name[:1].upper() + name[1:]


def finding_head(f: Finding) -> str:
    """What was found, in a few words with its value."""
    base, _, state = f.kind.rpartition("-")
    if state in ("unknown", "old") and base in QUANTITIES:
        what = QUANTITIES[base]
        return f"{_large(what)} was not read" if state == "unknown" else f"The reading of {what} is old"
    name = KINDS.get(f.kind, f.kind.replace("_", " ").replace("-", " "))
    return name if f.value is None else f"{name}: {shown(f.value, f.unit)}"


NO_LIMIT = "no limit"  # where a fish was found is told, and nobody is told to keep to it (safety rule 7)


def finding_why(f: Finding) -> str:
    """What stands under it: its range, its limit, what it rests on, until when."""
    parts = []
    if f.value is not None and f.low is not None and f.high is not None and f.high > f.low:
        why = RESTS_ON.get(f.kind, "with the error of the kit")
        parts.append(f"{why} {shown_range(f.low, f.high, f.unit)}")
    if f.limit is not None and f.severity in ("danger", "caution") and NO_LIMIT not in f.because:
        parts.append(
            f"keep {'over' if f.kind in ('low_oxygen', 'ph_crash') else 'under'} {shown(f.limit, f.unit)}"
        )
    if f.because:
        parts.append(f.because)
    if f.who:
        parts.append(", ".join(f.who))
    if f.age_h:
        age = age_words(f.age_h)
        parts.append(age.replace("read ", "given ", 1) if f.kind == "medicine-did-it" else age)
    if f.until:
        parts.append(f"no medicine until {f.until}" if f.kind in NO_MEDICINE else f.until)
    told = "; ".join(parts)
    return told[:1].upper() + told[1:] + "." if told else ""


def finding_says(f: Finding) -> str:
    """One finding as a sentence."""
    why = finding_why(f)
    return f"{finding_head(f)}. {why}" if why else f"{finding_head(f)}."


def water_line(found: Sequence[Finding], gate: Gate, ill: bool = True) -> str:
    """The water, before any cause; `ill`: something was seen that it might explain."""
    bad = [f for f in found if f.blocks_medicine and f.severity in ("danger", "caution")]
    if bad:
        heads = (finding_head(f) for f in bad[:3])
        return f"The water first: {'; '.join(h[:1].lower() + h[1:] for h in heads)}."
    if gate.unknown:
        names = list(dict.fromkeys(QUANTITIES.get(q, q) for q in gate.unknown))
        return f"The water is not known: read {_list(names)} before any medicine."
    in_order = [
        f.kind for f in found if f.severity == "fine" and f.kind in ("ammonia", "nitrite", "low_oxygen")
    ]
    fine = [KINDS[kind].lower() for kind in in_order]
    head = "The water was read and does not explain it" if ill else "The water was read"
    return f"{head}: {_list(fine)} in order." if fine else f"{head}."


def causes_heading(ranking: Ranking, facts: Facts) -> str:
    """At most two causes; never one as certain. Where something on no list is likelier, that comes first."""
    named = [r for r in ranking.ranked if r.value > SEEN_FROM][:2]
    other = ranking.unlisted
    if other.value > max(LIKELY, ranking.ranked[0].value):
        nearest = f" Nearest to it: {short_name(named[0].id, facts)}." if named else ""
        return f"Something not on this list: {chance_words(other.low, other.high, other.value)}.{nearest}"
    if not named:
        return "Nothing on the list stands out."
    first = short_name(named[0].id, facts)
    if len(named) > 1 and named[0].value < LIKELY:
        return f"It may be {first}, or {short_name(named[1].id, facts)}. Neither is certain."
    words = chance_words(named[0].low, named[0].high, named[0].value)
    return f"{first[:1].upper()}{first[1:]}: {words}. Not certain."


SEEN_FROM, LIKELY = 0.05, 0.66  # from "unlikely" on a cause is named; from "likely" on it is named alone


def cause_name(cause: str, facts: Facts) -> str:
    """A cause as it is called."""
    return facts.causes[cause].name if cause in facts.causes else cause.replace("_", " ")


def ranked_words(r: Ranked) -> str:
    """The chance of a cause in words."""
    return chance_words(r.low, r.high, r.value)


def step_head(step: UrgentStep) -> str:
    """One act of the ten minutes, verb first, with its amount: for the tank, or for every 10 L."""
    plain = plain_said(step)
    head = plain.head.rstrip(".") if plain else ACTS.get(step.act, step.act.replace("-", " "))
    amount = step.amount if step.amount is not None and step.amount.value is not None else None
    if step.act == "change" and step.share is not None:
        litres = f" ({_litres(step)})" if amount else ""
        return f"Change {share_words(step.share)} of the water{litres}"
    if step.act == "dechlorinate" and amount:
        return f"Dechlorinator: {amount.says}"
    return f"{head}: {amount.shown}" if amount else head


def _litres(step: UrgentStep) -> str:
    """Litres to change; both ends where the share has two."""
    amount = step.amount
    if amount is None or amount.value is None:
        return ""
    if step.share is None or not is_small(step.share) or amount.says != amount.shown:
        return amount.says
    each = amount.value / step.share
    return shown_range(each * SMALL_FROM, each * SMALL_TO, "L")


def step_soft(step: UrgentStep) -> str:
    """Why, and what to mind."""
    plain = plain_said(step)
    if plain:
        return plain.soft
    parts = [step.why, step.caution]
    if step.again_h:
        parts.append(f"again every {step.again_h[0]:g} to {step.again_h[1]:g} hours")
    if step.unless:
        parts.append(f"not if {_list([u.replace('_', ' ') for u in step.unless], 'or')} went in")
    told = "; ".join(p for p in parts if p)
    told = told[:1].upper() + told[1:] + "." if told else ""
    return f"{told} {lowering_says(step.share)}".strip()


def step_ask(step: UrgentStep) -> str:
    """What decides whether an act is done, and what each answer means."""
    if step.ask is None:
        return ""
    means = "If yes or you don't know, do it."
    if step.ask.id == "old_tank":
        means = (
            "If no, half may be changed."
            if step.again_h
            else "If yes, change only 15 to 20 %, and again every 2 to 3 hours."
        )
    return f"{step.ask.says} {means}"


def urgent_heading(urgent: Urgent, name: str = "") -> str:
    """The danger, first."""
    gasps = {"gasping_surface", "low_oxygen", "on_side"} & set(urgent.because)
    who = name or "This tank"
    return (
        f"{who} is short of air. Air first, then the rest in this order."
        if gasps
        else f"{who} needs you now. Do these in this order."
    )


def _list(names: Iterable[str], word: str = "and") -> str:
    names = list(names)
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} {word} {names[-1]}" if names else ""
