"""Sentences about one cause and about the look that tells most."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from tankward.judge.causes import Ranked
from tankward.judge.context import Moved
from tankward.judge.next_look import NextLook
from tankward.judge.speaks import Spoken
from tankward.judge.vet import Vet
from tankward.knowledge.known import Facts

from .signs import sign_words

ONSETS = {"hours": "it came within hours", "days": "it came over days", "weeks": "it came over weeks"}
TRENDS = {
    "more": "more are ill a day later", "same": "as many are ill a day later",
    "fewer": "fewer are ill a day later",
}  # fmt: skip
SHARES = {"one": "one has it", "some": "some have it", "most": "most have it"}
CONTEXTS = {
    "arrival": "something new came in", "handling": "they were caught or moved",
    "water_change": "new water went in", "tap_untreated": "untreated tap water went in",
    "water_differs": "the new water was different", "water_source": "where the water comes from",
    "tank_age": "how old the tank is", "filter_upset": "the filter was upset", "dose": "what was dosed",
    "treatment_failed": "a course that changed nothing", "death_left": "a dead one left in",
    "overfed": "too much food", "power_stop": "the power stopped", "temp_fall": "it got colder",
    "warm": "how warm it is", "cool": "how cool it is", "heater_fault": "the heater", "crowding": "crowding",
    "dirt": "cleaning was skipped", "soft_water": "soft water", "salt": "salt in the water",
    "origin": "where they came from", "live_food": "live food", "poor_food": "the food",
    "chemical_near": "something sprayed or built in", "co2_gas": "carbon dioxide",
    "plants_night": "many plants, at night", "gas_source": "how the water was warmed",
    "tank_mates": "its tank mates", "shared_tools": "a shared net", "host": "who lives there",
    "body_form": "its form", "life_stage": "its age", "wound": "a wound",
    "newcomers_die": "newcomers die, the old stock lives", "neighbour_ill": "another tank shows it",
    "came_from_ill": "some came from a tank that shows it",
    "had_before": "this tank was treated for it before",
}  # fmt: skip
HARMS = {
    "none": "harms nothing",
    "a little": "a little handling",
    "one fish": "costs one fish",
    "only a dead fish": "needs a fresh dead fish",
    "a day lost": "a day lost",
}
MISSING = {
    "seen": "a sign that you saw",
    "onset": "how fast it came",
    "share": "how many have it",
    "animals": "who lives there",
    "history": "what happened before",
    "sex": "whether they are males or females, which is why a belly may be round",
    "vent": "whether threads hang at the vent",
}
IN_TIME = {"today": "today", "this week": "this week", "when you can": "when you can"}


def short_name(cause: str, facts: Facts) -> str:
    """A cause without what stands in brackets."""
    return _parted(cause, facts)[0]


def covers(cause: str, facts: Facts) -> str:
    """What stands in brackets behind its name: the germs, or what the name takes in."""
    return _parted(cause, facts)[1]


def _parted(cause: str, facts: Facts) -> tuple[str, str]:
    name = facts.causes[cause].name if cause in facts.causes else cause.replace("_", " ")
    head, _, rest = name.partition(" (")
    return head, rest.removesuffix(")")


def why_moved(r: Ranked, facts: Facts) -> str:
    """What speaks for it and what against it, in plain words."""
    up = [_context(m) for m in r.moved if m.low > 1.0][:2]
    down = [_context(m) for m in r.moved if m.high < 1.0][:1]
    told = [
        _side("For it", r.speaks_for[:3], up, facts),
        _side("Against it", r.speaks_against[:2], down, facts),
    ]
    return " ".join(t for t in told if t) or "Nothing that you told speaks for it or against it."


def _side(head: str, spoken: Iterable[Spoken], contexts: Iterable[str], facts: Facts) -> str:
    spoken = list(spoken)
    there = [_spoken(s.what, s.state, facts) for s in spoken if s.state not in GONE]
    gone = [_spoken(s.what, s.state, facts) for s in spoken if s.state in GONE]
    parts = [", ".join([*there, *contexts]), f"not there: {', '.join(gone)}" if gone else ""]
    told = "; ".join(p for p in parts if p)
    return f"{head}: {told}." if told else ""


GONE = ("absent", "negative")


def _spoken(what: str, state: str, facts: Facts) -> str:
    answers = {"onset": ONSETS, "share": SHARES, "trend": TRENDS}.get(what)
    if answers is not None:
        return answers.get(state, state)
    return sign_words(what, facts)


def _context(moved: Moved) -> str:
    return context_words(moved.context)


def context_words(key: str) -> str:
    """Something that happened before or is so, in plain words; "dose:salt" keeps what it was of."""
    context, _, of = key.partition(":")
    said = CONTEXTS.get(context, context.replace("_", " "))
    return f"{said} ({of.replace('_', ' ')})" if of else said


def people_words(hazard: str) -> str:
    """What a cause may do to people; "" where nothing is known to."""
    if hazard in ("", "none", "low"):
        return ""
    told = hazard.removeprefix("yes: ").removeprefix("low: ")
    rare = "rarely " if hazard.startswith("low") else ""
    return f"For you {rare}too: {told}."


def look_head(look: NextLook, facts: Facts) -> str:
    """The look, as a heading."""
    words = sign_words(look.id, facts) if look.id in facts.signs else look.what
    return words[:1].upper() + words[1:]


def look_soft(look: NextLook) -> str:
    """How, how long, and what it costs the animals."""
    how = f"{look.how[:1].upper()}{look.how[1:].rstrip('.')}. " if look.how not in ("", "-") else ""
    minutes = "1 minute" if look.minutes == 1 else f"{look.minutes:g} minutes"
    return f"{how}About {minutes}, {HARMS.get(look.harm, look.harm)}."


def missing_words(missing: Iterable[str]) -> str:
    """What was not told and would move the answer."""
    named = [MISSING.get(m, m.replace("_", " ")) for m in missing]
    return f"Not told yet: {', '.join(named)}." if named else ""


def tells_words(signs: Iterable[str], facts: Facts) -> str:
    """What a sign comes to and no more, where keepers take it for more; "" where nothing is so."""
    told = ((sign_words(s, facts), facts.signs[s].tells) for s in signs if s in facts.signs)
    return " ".join(f"{name[:1].upper()}{name[1:]}: {tells}." for name, tells in told if tells)


def lens_words(ranked: Sequence[Ranked], facts: Facts) -> str:
    """What a lens would show of the likeliest cause, where a lens can tell; else ""."""
    cause = facts.causes.get(ranked[0].id) if ranked else None
    if cause is None or all(t.cost != "microscope" for t in cause.test):
        return ""
    return f"Under the lens, for {short_name(cause.id, facts)}: {cause.first_look}."


NOTHING_SEEN = "Nothing was seen, so no cause is named."
WORTH_A_LOOK = "Worth a look"


def said_words(signs: Iterable[str], facts: Facts) -> str:
    """Signs in one line."""
    told = ", ".join(sign_words(s, facts) for s in signs)
    return f"{told[:1].upper()}{told[1:]}." if told else ""


def vet_head(vet: Vet) -> str:
    """Whom to see, and when."""
    who = "a veterinarian who treats fish" if vet.fish_vet else "a veterinarian"
    return f"See {who}, {IN_TIME[vet.in_time]}."


def vet_lines(vet: Vet, facts: Facts) -> Mapping[str, str]:
    """What to bring, what to do until then, and whom it must be told."""
    lines = {
        "Bring": _listed(vet.bring),
        "Until then": _listed(vet.until_then),
    }
    if vet.notifiable:
        told = (f"{short_name(c, facts)} ({facts.causes[c].notifiable})" for c in vet.notifiable)
        lines["By law"] = f"An authority may have to be told of {_or(told)}."
    return lines


def _listed(parts: Iterable[str]) -> str:
    told = "; ".join(parts)
    return f"{told[:1].upper()}{told[1:]}."


def _or(names: Iterable[str]) -> str:
    return " or ".join(names)
