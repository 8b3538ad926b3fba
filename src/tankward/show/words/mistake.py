"""Sentences about slips: what can have happened, what is so now, what to do. Never a scolding."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tankward.judge.thinning import Series
from tankward.judge.urgent import UrgentStep
from tankward.knowledge.known import Facts
from tankward.quantities.digits import shown, shown_range
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.entries.base import Entry
from tankward.room.entries.corrections import Corrected
from tankward.room.replay import Room
from tankward.treat.mend.inside import InIt
from tankward.treat.mend.steps import Also

from .acts import ended, listed, upper
from .judge import step_head
from .log import entry_words
from .measured import level_range, level_shown
from .mend_parts import Here
from .mending import mend_said

SLIPS = {  # id of the slip: its row, and the words by which judge/slips.py knows it
    "too-much": ("Gave too much", "dosed twice"),
    "forgot-one": ("Forgot one, or was late", "forgot a dose"),
    "carbon-in": ("Carbon was in", "carbon left in"),
    "wrong-tank": ("Wrong tank", "wrong tank"),
    "something-else": ("Something else", "something else"),
    "too-little": ("Gave too little", "spilled half"),
    "untreated-tap": ("Tap water without dechlorinator", "tap water without dechlorinator"),
    "little-water": ("Water ran out", "water ran out"),
    "no-flow": ("Filter or power was off", "filter was off"),
    "too-warm": ("Too warm", "heater stuck"),
    "too-cold": ("Too cold", "went cold"),
    "no-change": ("Water change forgotten", "forgot the water change"),
    "big-change": ("Water change too large", "water change too large"),
    "newcomer": ("A new animal came in", "new animal"),
    "not-eaten": ("They spat out the food", "not eaten"),
}
ROWS = ("too-much", "forgot-one", "carbon-in", "wrong-tank", "something-else")  # large, on the first page
SOFT = {
    "too-much": "or too little: twice, spilled, the wrong spoon or litres",
    "carbon-in": "or another medium that eats the medicine",
    "wrong-tank": "or two tanks at once",
    "something-else": "water, heater, power, food, a newcomer",
}
ASKED = {
    "too-much": "How much went in?",
    "too-little": "How much went in?",
    "forgot-one": "Which one, and what about it now?",
    "carbon-in": "Is it out again?",
    "wrong-tank": "What went where?",
    "something-else": "What else?",
    "untreated-tap": "How much tap water?",
    "little-water": "How much of the water?",
    "no-flow": "For how long?",
    "too-warm": "How warm is it now?",
    "too-cold": "How cold is it now?",
    "no-change": "What about the change now?",
    "big-change": "How much was changed?",
    "newcomer": "Which animal is it?",
    "not-eaten": "How much of it did they eat?",
}
SO = {
    "too-much": "Too much went in.",
    "too-little": "Less went in than was meant.",
    "forgot-one": "One was left out.",
    "carbon-in": "Carbon was in with the medicine.",
    "wrong-tank": "It got what was not meant for it.",
    "untreated-tap": "Untreated tap water went in.",
    "little-water": "Water ran out.",
    "no-flow": "Nothing flows.",
    "too-warm": "It is too warm.",
    "too-cold": "It is too cold.",
    "no-change": "The change is still to come.",
    "big-change": "A lot of new water went in.",
    "newcomer": "A new one is in.",
    "not-eaten": "That meal was not eaten.",
    "something-else": "Taken as you told it.",
}
# What the heading asks for first, where an act of the list is that important.
FIRST = (
    "move", "water-first", "dry-off", "dechlorinate", "heater-off", "carbon-out", "give-late", "leave-out",
    "change", "put-back", "put-missing", "oxygen", "food-out", "stay", "apart", "rinse-filter", "warm",
    "wait", "do-late",
)  # fmt: skip
BENEATH = "It happens. The plan starts again from what really went in."
SETTLED = "It is still within what is published. Give nothing more today, and watch them."
MORE_SAID = "Otherwise, or at another time"
FLOWS_AGAIN = "Nothing flowed for a while."
NOT_LATE = "Nothing is late yet. Next:"
SAY_WHAT = 'What went in, and how much? Say it like --did "800 mg praziquantel, not 80 mg".'
NOT_KEPT = "Nothing is written down yet: add --keep for that."


def mistake_heading(name: str) -> str:
    """The first question."""
    return f"What happened in {name}?" if name else "What happened?"


def done_heading(slip: str, name: str) -> str:
    """What was said, and that the acts follow."""
    return f"{SLIPS[slip][0]}{f', {name}' if name else ''}. Do this now, in this order."


def after_heading(slip: str, steps: Sequence[UrgentStep], settled: bool, here: Here | None = None) -> str:
    """What is so, then the act that counts most."""
    act = next((s for first in FIRST for s in steps if s.act == first), None)
    if settled and slip in ("too-much", "wrong-tank"):
        return SETTLED
    early = isinstance(act.of, Also) and here is not None and act.of.step.at > here.now if act else False
    so = NOT_LATE if early and slip == "forgot-one" else SO[slip]
    if slip == "no-flow" and not any(s.act == "no-food" for s in steps):
        so = FLOWS_AGAIN
    return " ".join([so, head_of(act, here) if act else ""]).strip()


def head_of(step: UrgentStep, here: Here | None) -> str:
    """One act as a sentence."""
    said = mend_said(step, here) if here is not None else None
    return ended(said.head if said else step_head(step))


def level_says(substance: str, level: Estimate, unit: str, facts: Facts) -> str:
    """How strong it is in the water now."""
    name = upper(facts.substances[substance].names[0])
    return f"{name}: about {level_shown(level.value, unit)}"


def level_soft(x: InIt) -> str:
    """Its range, what is published, what everybody bears, and what changes bring it to."""
    unit = x.unit
    parts = [level_range(x.level.low, x.level.high, unit)] if x.level.high > x.level.low else []
    parts.append(
        f"published: {x.published.shown}" if x.published else "nothing is published to hold it against"
    )
    if x.safe.who and x.safe.level is not None:
        parts.append(f"{listed(x.safe.who)} bear {level_shown(x.safe.level, unit)}")
    if x.safe.none:
        parts.append(f"{listed(x.safe.none)} bear none of it")
    if x.safe.unknown:
        parts.append(f"not measured on {listed(x.safe.unknown)}")
    told = ended("; ".join(parts))
    return f"{told} {thinned_says(x.thin)}".strip() if x.thin and x.thin.changes else told


def thinned_says(thin: Series) -> str:
    """A row of changes: "Two changes bring it to 4.2, then 2.1 mg/L."."""
    levels = [shown(c.after.value, thin.unit) for c in thin.changes]
    first = levels if len(levels) <= 4 else [*levels[:2], f"at last {levels[-1]}"]
    many = "One change brings" if len(levels) == 1 else f"{len(levels)} changes bring"
    apart = "" if len(levels) == 1 else f", {thin.every_h:g} h apart or more"
    return f"{many} it to {listed(first, 'then')}{apart}."


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


def told_entries(entries: Iterable[Entry]) -> list[Entry]:
    """What is told of entries: of a correction the entry that it makes."""
    return [e for e in entries if not isinstance(e, Corrected)]


def kept_line(entries: Sequence[Entry], room: Room, facts: Facts, keep: bool) -> list[str]:
    """What was written down, or would be."""
    told = [entry_words(e, room, facts) for e in told_entries(entries)]
    if not told:
        return []
    return [f"{'Written down' if keep else 'Taken as'}: {'; '.join(told)}.", *([] if keep else [NOT_KEPT])]


def faults_said(faults: Sequence[BadInput]) -> list[str]:
    """What could not be taken as it was said; how to say a dose that nobody has written down."""
    return [SAY_WHAT if f.field == "dose" and not f.given else str(f) for f in faults]
