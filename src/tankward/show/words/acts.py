"""An act as a heading: verb first, with its amount in the keeper's own measure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tankward.knowledge.known import Facts
from tankward.quantities.digits import plain_number, share, shown
from tankward.room.acts import (
    Air,
    AnyAct,
    Apart,
    Bath,
    Change,
    Clean,
    Dose,
    Feed,
    Heat,
    Light,
    LookAgain,
    Lost,
    Media,
    Move,
    PowerBack,
    PowerCut,
    Remove,
    Siphon,
    TopUp,
    Transfer,
)
from tankward.room.entries.acts import Step

DECHLORINATOR = "sodium_thiosulfate"
LOOKS = {
    "ammonia, nitrite, pH, temperature": "Read ammonia, nitrite, pH and the temperature",
    "the dead": "Take out the dead, and look at one",
    "breathing, balance, shrimp": "Watch them: breathing, balance, shrimp",
    "is it helping": "Decide: is it helping?",
}


def part_words(value: float) -> str:
    """Half, or a whole per cent."""
    return "half" if abs(value - 0.5) < 0.01 else share(value)


def substance_words(ids: Iterable[str], facts: Facts) -> str:
    """Substances by their names."""
    names = [facts.substances[i].names[0] if i in facts.substances else i.replace("_", " ") for i in ids]
    return listed(names)


def listed(names: Sequence[str], word: str = "and") -> str:
    """One, two and three."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} {word} {names[-1]}"


def upper(text: str) -> str:
    """The first letter large, but of what is written small: pH; the rest as it is."""
    return text if text.startswith("pH") else text[:1].upper() + text[1:]


def lowered(text: str) -> str:
    """The first letter small, but for what is written so: pH."""
    return text if text[:2].isupper() or text.startswith("pH") else text[:1].lower() + text[1:]


def ended(text: str) -> str:
    """As a sentence: large at the beginning, a stop at the end."""
    text = upper(text.strip())
    return text if not text or text[-1] in ".!?" else f"{text}."


def act_head(act: AnyAct, facts: Facts, amount: str = "") -> str:
    """An act that is to be done.

    Parameters
    ----------
    act : AnyAct
        What is to be done.
    facts : Facts
        Names of substances.
    amount : str
        In the keeper's own measure; made of the act's base units where left out.
    """
    if isinstance(act, Dose):
        return _dose(act, facts, amount)
    if isinstance(act, Change):
        told = f"Change {part_words(act.share)} of the water"
        return f"{told}: {amount}" if amount else told
    if isinstance(act, LookAgain):
        return LOOKS.get(act.what, upper(act.what) or "Look again")
    return _small(act, facts, amount)


def _dose(act: Dose, facts: Facts, amount: str) -> str:
    given = amount or act.measured or listed([shown(mg, "mg") for mg in act.actives.values()])
    if is_dechlorinator(act):
        return f"Dechlorinator into the new water: {given}"
    return f"Give {given} of {substance_words(act.actives, facts)}" if not amount else f"Give {given}"


def _small(act: AnyAct, facts: Facts, amount: str) -> str:
    match act:
        case Siphon(floor_share=floor):
            return "Siphon the whole floor" if floor > 0.99 else f"Siphon {part_words(floor)} of the floor"
        case Media(medium=medium, into=into):
            name = {"activated_carbon": "carbon"}.get(medium, medium.replace("_", " "))
            return f"{upper(name)} into the filter" if into else f"Take the {name} out; leave the filter on"
        case Heat(temp_c=None):
            return "Heater off"
        case Heat(temp_c=temp):
            return f"Heater to {shown(temp or 0.0, 'C')}"
        case Air(more=more):
            return "Air up, surface moving" if more else "Air back to usual"
        case PowerCut():
            return _cut(act)
        case PowerBack():
            return "Power on again"
        case Light(hours_per_day=hours):
            return f"Light {plain_number(hours)} hours a day" if hours else "Lights off, keep it dim"
        case Feed():
            return _feed(act, facts, amount)
        case Bath(minutes=minutes):
            return f"Bath: {amount or substance_words(act.actives, facts)}, {plain_number(minutes)} minutes"
        case TopUp(volume_l=litres):
            return f"Top up {shown(litres, 'L')}"
        case Lost(share=gone):
            return f"{upper(part_words(gone))} of the water lost"
        case Move():
            return "Move them"
        case Apart(out=out):
            return "Into a tub beside the tank" if out else "Out of the tub, back into the tank"
        case Transfer():
            return f"Into a clean tub with new water{': ' + amount if amount else ''}"
        case Remove():
            return "Take them out"
        case Clean(what=what):
            return f"Clean the {what}"
    return upper(amount)


def _cut(act: PowerCut) -> str:
    what = {"all": "Power", "filter": "Filter", "heater": "Heater"}[act.off]
    return f"{what} off" if act.hours is None else f"{what} off for {plain_number(act.hours)} hours"


def _feed(act: Feed, facts: Facts, amount: str) -> str:
    if act.actives_mg_per_g:
        return f"Feed the medicated food{': ' + amount if amount else ''}"
    if act.food_g is not None:
        return f"Feed {shown(act.food_g * 1000.0, 'mg')} a day"
    return "Feed as usual" if act.usual == 1.0 else f"Feed {share(act.usual)} of the usual"


def step_head(step: Step, facts: Facts) -> str:
    """A step of a begun course, as it was said when it was begun."""
    return step.says or act_head(step.act, facts, step.amount)


MAIN = (Change, Dose, Bath, Heat, Feed, Apart, Transfer, Siphon)


def main_steps(steps: Iterable[Step]) -> list[Step]:
    """What a group of steps is about: the change and the dose, not the watching and the dechlorinator."""
    steps = list(steps)
    main = [s for s in steps if isinstance(s.act, MAIN) and not is_dechlorinator(s.act)]
    return main or steps[:1]


def is_dechlorinator(act: AnyAct) -> bool:
    """Whether it only makes new water fit."""
    return isinstance(act, Dose) and tuple(act.actives) == (DECHLORINATOR,)


def group_head(steps: Iterable[Step], facts: Facts) -> str:
    """Steps of one hour in one sentence: "Change half of the water, then give 250 mL"."""
    heads = [step_head(s, facts).rstrip(".") for s in main_steps(steps)]
    return ", then ".join([heads[0], *(h[:1].lower() + h[1:] for h in heads[1:])]) if heads else ""
