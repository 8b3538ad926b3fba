"""Sentences about what can be done: a remedy, when it fits, what it reaches, who bears it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

import msgspec

from tankward.judge.figures import Figure
from tankward.judge.verdicts import BECAUSE, WORSE, Verdict
from tankward.knowledge.known import Facts
from tankward.quantities.digits import shown, shown_range
from tankward.quantities.faults import Reason
from tankward.treat.policy import Permission
from tankward.treat.remedies.order import purpose
from tankward.treat.remedies.records import Left, Level, Number, Option, Options, Reached, RuledOut

from ..drawings.drawn import form_of
from .acts import ended, listed, upper
from .bears import MARKS
from .causes import short_name
from .days import day_written
from .status import status_words

ROUTES = {
    "water_long": "in the tank", "water_bath": "as a bath", "dip": "as a dip", "feed": "in the food",
    "heat": "", "filter": "in the filter", "swab": "dabbed on", "tool": "for tools", "": "",
}  # fmt: skip
NAMES = {"sodium_chloride": "salt (sodium chloride)", "heat": "warmer water"}
UNITS = {
    "g/kg feed": "g in each kilogram of food", "mg/kg/day": "mg for each kilogram of fish a day",
    "mg/kg": "mg for each kilogram of fish", "mL/L": "mL in each litre", "uL/L": "uL in each litre",
}  # fmt: skip
PLACES = {
    "on_host": "on the fish", "in_host": "in the fish", "water": "free in the water",
    "surface": "on floor and glass", "carrier": "in small crustaceans that carry it",
}  # fmt: skip
LONG_MIN = 180.0  # from here on minutes are said as hours
THOSE = "those"
NOUNS = {
    "egg": "eggs", "infective_egg": "eggs", "cocoon": "eggs", "spore": "spores", "cyst": "cysts",
    "tomont": "cysts", "larva": "larvae", "nauplius": "larvae", "young": "larvae", "coracidium": "larvae",
    "swimmer": "swimmers", "theront": "swimmers", "dinospore": "swimmers", "zoospore": "swimmers",
    "seeking": "swimmers", "protomont": "those that just left the fish", "juvenile": "young ones",
    "detached": "those that just left the fish", "adult": "grown ones", "female": "grown females",
    "copepodid": "young ones", "trophont": "the feeding ones", "trophozoite": "the feeding ones",
    "attached": "the feeding ones", "worm": "worms",
}  # fmt: skip
EVIDENCE = {
    "published": "Published", "computed": "Computed", "trade-habit": "Usual practice, no source",
    "recalled": "Recalled, not read",
}  # fmt: skip
IN_FOOD = "Mixed into a food made at home and frozen in portions. Little gets into the water."
FITS = {
    "feed": "Only for fish that eat.",
    "water_long": "Everything in the tank meets it; it reaches those that do not eat too.",
    "water_bath": "The fish come out for it and are watched all the while.",
    "dip": "The fish come out for it, for moments, and are watched all the while.",
    "heat": "The whole tank is warmed, slowly.",
    "filter": "Works on what passes through the filter.",
    "swab": "One fish at a time, out of the water for moments.",
}
SAYS = {
    "bears": "bears it",
    "no-harm-reported-not-measured": "no harm reported, not measured",
    "care": "care",
    "unknown": "not known",
    "refused": "too strong",
}
REFUSED = {
    "class-lethal": "dies",
    "class-avoid": "must be kept from it",
    "harms-young": "harmed",
    "jar-harm": "harmed in your jar",
}
QUANTITIES = (
    ("ammonia n", "ammonia"), ("nitrite n", "nitrite"), ("temp c", "the temperature"), ("ph", "pH"),
)  # fmt: skip


def substance_name(substance: str, facts: Facts) -> str:
    """A substance as it is called here."""
    return NAMES.get(substance) or facts.substances[substance].names[0].split(" (")[0]


def remedy_name(remedy: Option | RuledOut, facts: Facts) -> str:
    """The remedy: what, and by which way."""
    if remedy.remedy:
        return upper(facts.remedies[remedy.remedy].name)
    tub = remedy.id.endswith("/tub")
    way = "in a tub" if tub and remedy.route == "water_long" else ROUTES.get(remedy.route, "")
    return upper(f"{substance_name(remedy.substance, facts)} {way}".strip())


def option_head(option: Option, facts: Facts) -> str:
    """The remedy with its days."""
    days = days_words(option.days)
    return f"{remedy_name(option, facts)}, {days}" if days else remedy_name(option, facts)


def days_words(days: tuple[float, float] | None) -> str:
    """How long it takes."""
    if days is None or days[1] <= 0.0:
        return ""
    if days[1] < 1.0:
        return shown_range(24 * days[0], 24 * days[1], "hours")
    told = shown_range(max(days[0], 1.0), days[1], "days")
    return "1 day" if told == "1 days" else told


def level_words(level: Level | None) -> str:
    """How strong it is."""
    if level is None:
        return ""
    told = shown_range(level.low, level.high, "C" if level.unit == "C" else "")
    return told if level.unit == "C" else f"{told} {UNITS.get(level.unit, level.unit)}".strip()


def fits_words(option: Option) -> str:
    """When it fits, in one line."""
    if option.says:
        first = option.says[0]
    elif option.place == "tub":
        first = "In a bare tub beside the tank; shrimp, snails and plants stay where they are."
    else:
        first = FITS.get(option.route, "")
    return BEFORE.get(purpose(option), "") + ended(first)


BEFORE = {"eases": "Eases it, does not clear it. ", "beside": "Beside a treatment, never instead of one. "}


def reach_words(option: Option) -> list[str]:
    """What it reaches and what it leaves, stage by stage; nothing where no organism is behind it."""
    if option.kind == "vet" or not (option.reaches or option.not_reached):
        return []
    if not option.reaches and purpose(option) != "clears":
        return []
    hit, left = _places(option.reaches), _places(option.not_reached)
    hardly = [p for p in left if p not in hit]
    told = [f"Reaches {listed(hit)}." if hit else "Which stages it reaches is not known here."]
    return told + ([f"Does not reach {listed(hardly)}, as far as is known."] if hit and hardly else [])


def _places(rows: Iterable[Reached]) -> list[str]:
    """Each stage with where it sits; those that have no name of their own are "those"."""
    named: dict[str, dict[str, None]] = {}
    for r in rows:
        named.setdefault(PLACES[r.place], {})[NOUNS.get(r.stage, THOSE)] = None
    said = []
    for place, nouns in named.items():
        nouns = nouns if len(nouns) < 2 else {n: None for n in nouns if n != THOSE}
        said.append(f"{listed(list(nouns))} {place}")
    return said


def leaves_words(left: Sequence[Left], facts: Facts) -> str:
    """Likely causes that it leaves as they are."""
    names = [short_name(one.cause, facts) for one in left]
    told = "; ".join(names) if any("," in name for name in names) else listed(names)
    return f"Leaves untouched: {told}." if told else ""


def evidence_words(option: Option) -> str:
    """What it rests on, and the keeper's time."""
    told = EVIDENCE[option.evidence.kind]
    minutes = option.minutes
    return f"{told}. {shown_range(minutes.low, minutes.high, 'minutes')} a day." if minutes else f"{told}."


def as_stated(day: str) -> str:
    """When lawful possession was stated; the day is "" where nobody wrote it down."""
    return f"as you stated on {day_written(day)}" if day else "as you stated"


def may_words(permission: Permission | None) -> str:
    """Whose remedy it is; "" where a keeper may use it."""
    if permission is None or permission.may == "yes":
        return ""
    if permission.may == "held":
        return f"You hold it lawfully, {as_stated(permission.stated_on)}."
    return "A veterinarian has to order it."


def caution_words(option: Option) -> list[str]:
    """What to mind, but for what stands beside the animals."""
    told = [plain(r) for r in option.cautions if r.kind not in BECAUSE]
    says = {v.says for v in option.bears}
    if "care" in says:
        told.append("Care: one trial animal first, more air, and stop at the first bad sign.")
    untried = {v.says for v in option.bears if v.why != "jar-trial"}
    if untried & {"unknown", "no-harm-reported-not-measured"}:
        told.append("What nobody has measured: try it in a jar for a day first.")
    return list(dict.fromkeys(told))


def lower_lines(verdicts: Iterable[Verdict], facts: Facts) -> list[str]:
    """The lowest figure of another animal under the one that a limit is made from, by substance (rule 2)."""
    lowest: dict[str, Figure] = {}
    for limit in (v.limit for v in verdicts):
        for figure in limit.lower:
            if limit.part not in lowest or figure.level < lowest[limit.part].level:
                lowest[limit.part] = figure
    return [
        f"Measured lower in others: {shown(f.level, f.unit)} of {substance_name(part, facts)} killed half of "
        f"the {f.taxon} in {f.hours:g} hours ({f.source}, {status_words(f.status)})."
        for part, f in lowest.items()
    ]


def plain(reason: Reason) -> str:
    """A reason as a sentence, with the water's quantities by their names."""
    text = by_name(reason.because)
    return ended(upper(text))


def by_name(text: str) -> str:
    """The water's quantities by their names, where they stand as whole words."""
    for given, name in QUANTITIES:
        text = re.sub(rf"\b{given}\b", name, text)
    return text


class Bears(msgspec.Struct, frozen=True, kw_only=True):
    """The groups of animals of whom the same is said: outlines, names, mark and words."""

    forms: tuple[str, ...]  # plants and eggs have no outline
    who: str
    kind: str
    words: str


def bears_rows(verdicts: Sequence[Verdict], facts: Facts) -> list[Bears]:
    """Each group once, by the hardest word on it, those of one word together, the hardest first.

    "Bears it" stands only where it was measured.
    """
    hardest: dict[tuple[str, str], Verdict] = {}
    for v in verdicts:
        key = (v.limit.stock, v.limit.who)
        if key not in hardest or WORSE.index(v.says) > WORSE.index(hardest[key].says):
            hardest[key] = v
    ordered = sorted(hardest.values(), key=lambda v: -WORSE.index(v.says))
    alike: dict[str, list[Verdict]] = {}
    for v in ordered:
        alike.setdefault(verdict_words(v), []).append(v)
    return [_bears(words, group, facts) for words, group in alike.items()]


def verdict_words(v: Verdict) -> str:
    """What a level means for a group, in a word or two."""
    if v.why == "jar-trial":
        return "no harm in your jar for a day: watch them"
    return REFUSED.get(v.why, SAYS["refused"]) if v.says == "refused" else SAYS[v.says]


def _bears(words: str, group: Sequence[Verdict], facts: Facts) -> Bears:
    forms = dict.fromkeys(form for v in group if (form := _form(v, facts)))
    who = dict.fromkeys(v.limit.who for v in group)
    return Bears(forms=tuple(forms), who=listed(list(who)), kind=MARKS[group[0].says], words=words)


def _form(v: Verdict, facts: Facts) -> str:
    animal = facts.animals.get(v.limit.animal)
    if animal is None or v.limit.stage == "egg":
        return ""
    return form_of(animal.body_shape, livebearer=animal.group == "livebearer")


def figure_words(number: Number) -> str:
    """What a figure of a remedy says."""
    if number.id == "work":
        hours = number.high >= LONG_MIN
        part = 60.0 if hours else 1.0
        return shown_range(number.low / part, number.high / part, "hours" if hours else "minutes")
    head = FIGURES.get(number.id, number.id.replace("_", " "))
    unit = {"d": "days", "1": "", "h": "hours", "min": "minutes"}.get(number.unit, number.unit)
    low = number.low or number.high  # "0 to 2 °C apart" is said as within 2 °C
    return f"{head}: {shown_range(low, number.high, unit)}"


FIGURES: Mapping[str, str] = {
    "empty_days": "the tank without fish", "carrier_days": "shrimp, snails and plants count as carriers",
    "off_host_days": "how long it lives without fish", "hatch_h": "what fell off can hatch after",
    "move_every_h": "move the fish every", "move_days": "keep moving them for", "moves": "moves in all",
    "eugenol": "eugenol in the bath", "after_gills": "left in after the last gill beat",
    "tub_l": "a tub for all of them", "change": "water changed each time", "minutes": "your time",
    "grams": "grams of fish in each litre of tub", "within": "new water within", "days": "look again after",
}  # fmt: skip


def options_heading(found: Options, facts: Facts, *, lives: bool = True, water: str = "all") -> str:
    """What is best done, and how much else there is.

    Parameters
    ----------
    found : Options
        What is open and what is ruled out.
    facts : Facts
        The facts.
    lives : bool
        Whether anybody is known to live there; if not, no remedy is put first.
    water : str
        What the water lets in: all, sparing, after-water, water-first; unread where it can be read here.
    """
    ways = [o for o in found.open if o.kind != "vet" and purpose(o) in ("clears", "eases")]
    if not lives:
        return "Say who lives there first. Nothing here was judged against them."
    if water in ("water-first", "after-water"):
        return "The water first. A medicine has to wait until it is mended."
    if water == "unread":
        return "Read the water first. It may explain it, and a medicine has to know it."
    if found.open and found.open[0].first:
        return "Nothing goes into the water yet. Count again in a week."
    if not ways:
        return "Nothing that can be done here clears it. See a veterinarian."
    closed = len({remedy_name(r, facts) for r in found.ruled_out})
    first = found.turns[0].option if found.turns else ""
    lead = _lead(next((o for o in ways if o.id == first), ways[0]), facts)
    return f"{lead} {closed} are ruled out here." if closed > 1 else lead


def _lead(best: Option, facts: Facts) -> str:
    name, allowed = remedy_name(best, facts), best.permission
    if purpose(best) == "eases":
        return f"Nothing here clears it. {name} eases it."
    order = "What clears it, a veterinarian has to order" if allowed and not allowed.amounts else "First"
    return f"{order}: {name[:1].lower()}{name[1:]}."


NOBODY = "Who lives there is not known, so nothing here was judged against them."
NO_VOLUME = "How much water there is is not known."


def not_judged(*, animals: bool, volume: bool, region: bool) -> list[str]:
    """What was not told, so that nothing was judged by it. Missing is never taken for safe."""
    told = [] if animals else [NOBODY]
    told += [] if volume else [NO_VOLUME]
    return told + ([] if region else ["The region is not known: the strictest law was taken."])
