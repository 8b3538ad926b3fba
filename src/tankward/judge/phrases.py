"""What keepers say of the past, and which dated fact it is. Narrower phrases stand first; the first
that fits counts.
"""

from __future__ import annotations

import re

from tankward.knowledge.find import index_of
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import is_unknown

from .evidence import Happened

# A pattern, the context it stands for, and which of its kind.
PHRASES: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    (r"without dechlor|no dechlor|forgot.*(dechlor|conditioner)|untreated|hose|pipes", "tap_untreated", ()),
    (r"(dosed|given|gave).*twice|doubl|wrong volume|over ?dos", "dose", ("doubled or wrong volume",)),
    (r"(course|medicine|treatment).*(did nothing|failed|not work|not help)", "treatment_failed", ()),
    (r"antibiotic.*(did nothing|failed|not work|not help)", "treatment_failed", ("antibiotic",)),
    (r"new plant|plants? (came|added|bought)", "arrival", ("plants",)),
    (r"newcomers die|new ones die", "newcomers_die", ()),
    (r"(new|bought|added|arriv).*(fish|shrimp|snail|animal|stock|arriv)|newcomer|arrival", "arrival", ()),
    (r"shipp|moved|netted|caught|bagged|handled|photograph", "handling", ()),
    (r"(colder|cold) (new )?water", "water_differs", ("colder",)),
    (r"(different|softer|harder) water|other ph", "water_differs", ()),
    (r"well water", "water_source", ("well",)),
    (r"rain ?water|rain barrel", "water_source", ("rain",)),
    (r"distilled|osmosis|\bro\b", "water_source", ("distilled",)),
    (r"water change|changed (the )?water|top(ped)? up", "water_change", ()),
    (r"new tank|new filter|not cycled|set up|young tank", "tank_age", ()),
    (r"filter.*(clean|wash|rins|stop|off|chang|refill|replac|dried)", "filter_upset", ()),
    (r"(clean|wash|rins|chang).*filter", "filter_upset", ()),
    (r"dead (fish )?(left|found|missing)|missing fish|corpse|found dead", "death_left", ()),
    (r"overfed|fed too much|food left|double feed|holiday feed", "overfed", ()),
    (r"power|pump.*(stop|off)|air.*(stop|off)|no flow", "power_stop", ()),
    (r"heater.*stuck", "heater_fault", ("stuck on",)),
    (r"heater.*(off|broke|fail|dead)", "heater_fault", ("off",)),
    (r"(got|fell|dropped|turned).*(cold|cool)|temperature (fell|drop)|chill|cold night", "temp_fall", ()),
    (r"crowd", "crowding", ()),
    (r"no (water )?change|not cleaned|mulm|dirty|neglect", "dirt", ()),
    (r"pond food|copepod|daphnia|from (a|the) pond", "live_food", ("pond", "copepods")),
    (r"live food|cultures?|worms fed|tubifex", "live_food", ("cultures",)),
    (r"old food|old box", "poor_food", ("old",)),
    (r"dry food only|flakes? only", "poor_food", ("dry only",)),
    (r"one food", "poor_food", ("one food",)),
    (r"copper pipe", "chemical_near", ("copper pipe",)),
    (r"spray|paint|cleaner|smoke|polish|insect", "chemical_near", ("spray", "cleaning", "paint", "smoke")),
    (r"new (decor|wood|stone|rock)|metal", "chemical_near", ("decor", "metal")),
    (r"co2|carbon dioxide", "co2_gas", ("injected",)),
    (r"still surface|no ripple", "co2_gas", ("still surface",)),
    (r"(shared|same) (net|siphon|tools?)|net (was )?(in|used)", "shared_tools", ()),
    (r"bit(ten|es?)|fight", "wound", ("bite", "wound")),
    (r"wound|net damage|torn|sharp", "wound", ("wound", "sharp decor")),
    (r"wild[- ]caught|from the wild", "origin", ("wild",)),
    (r"(fish )?from (a )?pond", "origin", ("pond",)),
    (r"shop|store", "origin", ("shop",)),
    (r"old fish|old age|\bold\b", "life_stage", ("old",)),
    (r"inbred|same line", "life_stage", ("inbred",)),
    (r"long fin|veil", "body_form", ("long fins",)),
    (r"balloon", "body_form", ("balloon",)),
    (r"thick with plants|dense plants|heavily planted", "plants_night", ()),
    (r"\bsalt", "salt", ()),
)  # fmt: skip
DOSED = re.compile(r"^(?:dosed|dose of|gave|given|treated with|medicine:?)\s+(?P<what>.+)$")
VENT = re.compile(r"(looked at|checked).*vent|vent (was )?(looked at|checked)")

DAYS = {"hour": 1 / 24, "day": 1.0, "week": 7.0, "month": 30.4, "year": 365.25}
AGO = re.compile(
    r"(?P<n>\d+(?:[.,]\d+)?|an?|one|two|three|four|five|six)\s*(?P<unit>h|hour|day|week|month|year)s?\b\s*"
    r"(?:ago|old|back|before)?",
)
COUNT = {"a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0, "five": 5.0, "six": 6.0}
NAMED = (
    ("yesterday", 1.0), ("last night", 0.5), ("this morning", 0.3), ("today", 0.2), ("just now", 0.02),
    ("last week", 7.0), ("last month", 30.4),
)  # fmt: skip


def history(text: str, facts: Facts) -> tuple[list[Happened], bool]:
    """Dated facts in "new fish 10 days ago; filter cleaned", and whether the vent was looked at.

    Raises
    ------
    BadInput
        For a part that names nothing known here.
    """
    parts = [p.strip() for p in re.split(r"[;\n]", text.lower()) if p.strip() and not is_unknown(p)]
    looked = [p for p in parts if VENT.search(p)]
    return [one(p, facts) for p in parts if p not in looked], bool(looked)


def one(part: str, facts: Facts) -> Happened:
    """One dated fact: a context of the facts by its id, or a phrase."""
    age_d, rest = age(part)
    ident = rest.replace(" ", "_")
    if ident in facts.contexts:
        return Happened(context=ident, age_d=age_d)
    dosed = DOSED.match(rest)
    if dosed and (found := index_of(facts, "substance").ids(dosed["what"])):
        return Happened(context="dose", age_d=age_d, of=substance_marks(found, facts))
    for pattern, context, of in PHRASES:
        if re.search(pattern, rest):
            return Happened(context=context, age_d=_age_of(context, age_d, rest), of=of)
    raise BadInput("history", part, "is not known here. Write like new fish 10 days ago; filter cleaned.")


def _age_of(context: str, age_d: float | None, rest: str) -> float | None:
    """A new tank is young even where nobody says how young."""
    return 0.0 if context == "tank_age" and age_d is None and "new" in rest else age_d


def age(part: str) -> tuple[float | None, str]:
    """Days ago, and the rest of the words."""
    for word, days in NAMED:
        if word in part:
            return days, part.replace(word, " ").strip()
    found = AGO.search(part)
    if not found:
        return None, part
    n = COUNT.get(found["n"]) or float(found["n"].replace(",", "."))
    unit = "hour" if found["unit"] == "h" else found["unit"]
    rest = (part[: found.start()] + " " + part[found.end() :]).strip()
    return n * DAYS[unit], re.sub(r"\s+", " ", rest)


HARMFUL = ("moderate", "high", "severe")
SPOKEN_OF = {"potassium_permanganate": "permanganate", "formalin_malachite": "formalin"}


def substance_marks(substances: tuple[str, ...], facts: Facts) -> tuple[str, ...]:
    """How causes speak of a dose: the substance, its parts, and whether it harms the filter."""
    parts = [p for s in substances for p in (s, *facts.substances[s].parts)]
    marks = [SPOKEN_OF.get(p, p) for p in parts]
    if any(e.on == "filter" and e.level in HARMFUL for p in parts for e in facts.substances[p].effect):
        marks.append("harms filter")
    if any(facts.substances[p].kind == "antibiotic" for p in parts):
        marks.append("antibiotic")
    return tuple(dict.fromkeys([*marks, *parts]))
