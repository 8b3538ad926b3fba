"""Sentences about slips: what can have happened, what is so now, what to do. Never a scolding."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tankward.judge.first_aid import Dilution
from tankward.judge.urgent import UrgentStep
from tankward.knowledge.known import Facts
from tankward.quantities.digits import shown, shown_range
from tankward.quantities.parse import Estimate
from tankward.treat.amounts.published import Published

from .acts import ended, listed, upper
from .judge import step_head

SLIPS = {  # id of the slip: its row, and the words by which judge/slips.py knows it
    "too-much": ("Gave too much", "dosed twice"),
    "forgot-one": ("Forgot one, or was late", "forgot a dose"),
    "carbon-in": ("Carbon was in", "carbon left in"),
    "wrong-tank": ("Wrong tank", "wrong tank"),
    "untreated-tap": ("Tap water without dechlorinator", "tap water without dechlorinator"),
    "little-water": ("Water ran out", "water ran out"),
    "no-flow": ("Filter or power was off", "filter was off"),
    "something-else": ("Something else", "something else"),
}
SOFT = {
    "too-much": "twice, or the wrong spoon or litres",
    "carbon-in": "or another medium that eats the medicine",
    "wrong-tank": "or two tanks at once",
    "little-water": "a leak, a hose, a siphon left running",
    "something-else": "heater, air, a shared net",
}
ASKED = {
    "too-much": "What went in, and how much?",
    "forgot-one": "Which one, and what about it now?",
    "carbon-in": "Since when was it in?",
    "wrong-tank": "What went where?",
    "untreated-tap": "How much tap water?",
    "little-water": "How much of the water?",
    "no-flow": "Since when?",
    "something-else": "What happened?",
}
SO = {
    "too-much": "Too much went in.",
    "forgot-one": "One was left out.",
    "carbon-in": "Carbon was in with the medicine.",
    "wrong-tank": "It got what was not meant for it.",
    "untreated-tap": "Untreated tap water went in.",
    "little-water": "Water ran out.",
    "no-flow": "Nothing flowed for a while.",
    "something-else": "It is written down.",
}
# What the heading asks for first, where an act of the list is that important.
FIRST = ("dry-off", "dechlorinate", "change", "carbon-out", "give-late", "rinse-filter", "wait")
LEFT_BELOW = "How much of the last one is left stands below, with both ends."
BENEATH = "It happens. The plan starts again from what really went in."


def mistake_heading(name: str) -> str:
    """The first question."""
    return f"What happened in {name}?" if name else "What happened?"


def done_heading(slip: str, name: str) -> str:
    """What was said, and that the acts follow."""
    return f"{SLIPS[slip][0]}{f', {name}' if name else ''}. Do this now, in this order."


def after_heading(slip: str, steps: Sequence[UrgentStep], settled: bool) -> str:
    """What is so, then the act that counts most."""
    act = next((s for first in FIRST for s in steps if s.act == first), None)
    if settled:
        return "It is still within what is published. Give nothing more today, and watch them."
    return " ".join([SO[slip], ended(step_head(act)) if act else ""]).strip()


def level_says(substance: str, level: Estimate, unit: str, facts: Facts) -> str:
    """How strong it is in the water now."""
    name = upper(facts.substances[substance].names[0])
    return f"{name}: about {shown(level.value, unit)}"


def level_soft(level: Estimate, unit: str, span: Published | None, thin: Dilution | None) -> str:
    """Its range, what is published, and what changes bring it to."""
    parts = [shown_range(level.low, level.high, unit)] if level.high > level.low else []
    parts.append(f"published: {span.shown}" if span else "nothing is published to hold it against")
    told = ended("; ".join(parts))
    return f"{told} {thinned_says(thin)}".strip() if thin and thin.levels else told


def thinned_says(thin: Dilution) -> str:
    """A row of changes: "Two changes bring it to 4.2, then 2.1 mg/L."."""
    first = thin.levels[: 4 if len(thin.levels) <= 4 else 2]
    levels = [shown(x, thin.unit) for x in first]
    levels += [f"at last {shown(thin.levels[-1], thin.unit)}"] if len(thin.levels) > len(first) else []
    many = "One change brings" if thin.changes == 1 else f"{thin.changes} changes bring"
    apart = "" if thin.changes == 1 else f", {thin.every_h:g} h apart or more"
    return f"{many} it to {listed(levels, 'then')}{apart}."


def ahead_says(before: Estimate, after: Estimate, unit: str, name: str, *, over: bool, full: bool) -> str:
    """What is left when a dose comes; why it is left out, where it is.

    Parameters
    ----------
    before, after : Estimate
        Level as the dose meets it and leaves it. [unit]
    unit : str
        Of the levels.
    name : str
        Of the substance.
    over : bool
        It would pass what is published.
    full : bool
        More than a full dose is still there.
    """
    if full:
        return f"Leave this one out: about {shown(before.value, unit)} of {name} is still in the water."
    if over:
        return f"Leave this one out: it would make {shown(after.value, unit)} of {name}."
    span = f" ({shown_range(before.low, before.high, unit)})" if before.high > before.low else ""
    return f"As planned. About {shown(before.value, unit)} of {name} is left by then{span}."


def without(steps: Iterable[UrgentStep], done: Iterable[str]) -> list[UrgentStep]:
    """The acts that are still to do."""
    gone = set(done)
    return [s for s in steps if s.act not in gone]
